"""Reads a zip of task data (its path is the argument) with Python's own zip, XML and number readers; prints what it holds as JSON."""
import io, json, struct, sys, xml.etree.ElementTree as tree, zipfile

archive = zipfile.ZipFile(sys.argv[1])
assert archive.testzip() is None
root = tree.parse(io.BytesIO(archive.read('TASKDATA/TASKDATA.XML'))).getroot()
tasks = []
for task in root.findall('TSK'):
    grid = task.find('GRD')
    zone = next(z for z in task.findall('TZN') if z.get('A') == grid.get('J'))
    count = len(zone.findall('PDV'))
    rows, columns = int(grid.get('F')), int(grid.get('E'))
    values = struct.unpack('<%di' % (rows * columns * count), archive.read('TASKDATA/%s.BIN' % grid.get('G')))
    tasks.append({'name': task.get('B'), 'values': values, 'columns': columns, 'south': float(grid.get('A')), 'west': float(grid.get('B'))})
print(json.dumps({'root': root.tag, 'product': root.find('PDT').get('B'), 'field': root.find('PFD').get('C'),
                  'points': len(root.findall('.//PNT')), 'tasks': tasks}))
