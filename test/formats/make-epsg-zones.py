"""Writes core/formats/epsg-zones.ts out of PROJ's copy of the EPSG dataset: python3 make-epsg-zones.py /usr/share/proj/proj.db

State plane zones and statewide systems of the United States on NAD83 and its later realizations, grouped by zone.
"""
import sqlite3
import subprocess
import sys

DATUMS = {'NAD83': '', 'NAD83(HARN)': 'H', 'NAD83(NSRS2007)': 'N', 'NAD83(2011)': 'B'}
db = sqlite3.connect(sys.argv[1])
version = db.execute("select value from metadata where key='EPSG.VERSION'").fetchone()[0]
rows = db.execute("select code, name from projected_crs where auth_name='EPSG' and deprecated=0 and name like 'NAD83%'").fetchall()


def zone_of(name):
    zone = name.split(' / ', 1)[1]
    for unit in (' (ftUS)', ' (ft)'):
        if zone.endswith(unit):
            return zone[:-len(unit)], unit[2:-1]
    return zone, 'm'


plain = {zone_of(name)[0] for _, name in rows if name.startswith('NAD83 / ')}
plain = {zone for zone in plain if not zone.startswith(('UTM', 'BLM', 'MTM', 'Teranet', 'Statistics', 'Alberta', 'BC ', 'Ontario', 'Quebec', 'Yukon', 'NWT', 'Canada', 'North Pole', 'Great Lakes', 'Michigan Oblique'))}
zones = {}
for code, name in rows:
    datum = name.split(' / ')[0]
    if datum not in DATUMS or ' / ' not in name:
        continue
    zone, unit = zone_of(name)
    if zone not in plain:
        continue
    text = subprocess.run(['projinfo', '-o', 'PROJ', '-q', f'EPSG:{code}'], capture_output=True, text=True).stdout.strip()
    words = [w for w in text.split() if not w.startswith(('+units', '+to_meter', '+ellps', '+datum', '+no_defs', '+type', '+towgs84'))]
    if words[0] not in ('+proj=lcc', '+proj=tmerc', '+proj=aea'):
        continue
    zones.setdefault((zone, ' '.join(w[1:] for w in words)), []).append({'m': 'm', 'ftUS': 'u', 'ft': 'f'}[unit] + DATUMS[datum] + str(code))
print(f'// Made by test/formats/make-epsg-zones.py from the EPSG Geodetic Parameter Dataset {version}.')
print('''
/**
 * State plane zones and statewide systems of the United States: a line holds the zone's name, its projection as proj4 has it
 * (false origin in metres), and its codes. Before a code stand its unit (m metres, u US survey feet, f international feet)
 * and the realization of NAD83 (none the first, H HARN, N NSRS2007, B 2011).
 */''')
print('export const EPSG_ZONES = `')
for (zone, text), codes in sorted(zones.items()):
    print(f'{zone}|{text}|{" ".join(codes)}')
print('`;')
