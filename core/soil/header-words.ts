import type { ColumnRole } from './settings.ts';

/** What a word says: role, how plainly, and a doubt. */
export type Entry = readonly [ColumnRole, number, string?];
const names = (role: ColumnRole, rank: number, words: string, doubt?: string): [string, Entry][] =>
  words.split(' ').map((word) => [word, doubt === undefined ? [role, rank] : [role, rank, doubt]]);

/** Rank of a word such as `top` or `to`, which bounds a depth only where the other bound stands beside it. */
export const BARE_BOUND_RANK = 3;
const SALT_PH = 'a pH in salt solution reads about half a point lower than in water';

/** Headers with spaces, units and qualifiers taken out. */
export const WORDS: ReadonlyMap<string, Entry> = new Map<string, Entry>([
  ...names('k', 0, 'k potassium potass pot kalium potasio potassio'),
  ...names('k', 1, 'stk exk exchk xk kex kexch avk availk kavail m3k km3'),
  ...names('ca', 0, 'ca calcium calc kalzium calcio'),
  ...names('mg', 0, 'mg magnesium magnes magn mag magnesio'),
  ...names('na', 0, 'na sodium sod natrium sodio'),
  ...names('h', 0, 'h hydrogen acidity totalacidity hmeq acidez acidite'),
  ...names('ph', 0, 'ph phw phwater waterph wph phh2o h2oph ph11 11ph phwater11 pheau phagua phwert'),
  ...names('ph', 2, 'saltph phsalt phs phcacl2 cacl2ph phcacl phkcl kclph', SALT_PH),
  ...names('bufferPh', 0, 'bufferph bufph buffph phbuffer phbuf bph phb bufferedph pufferph phpuffer'),
  ...names(
    'bufferPh',
    1,
    'buffer buf puffer tampon phtampon smp smpph phsmp smpbuffer smpbufferph sikora sikoraph phsikora sikorabufferph',
  ),
  ...names('bufferPh', 1, 'adamsevans adamsevansph adamsevansbufferph aebufferph woodruff woodruffbufferph'),
  ...names(
    'cec',
    0,
    'cec cationexchangecapacity cationexchcapacity kak kationenaustauschkapazitat cic capacidaddeintercambiocationico capacitedechangecationique',
  ),
  ...names('cec', 1, 'tec totalexchangecapacity exchangecapacity calculatedcec calccec estcec estimatedcec cecsum'),
  ...names('cec', 2, 'ecec effectivecec', 'an effective CEC leaves out part of the acidity'),
  ...names(
    'organicMatter',
    0,
    'om organicmatter orgmatter som omloi loi orgmat humus matiereorganique materiaorganica',
  ),
  ...names('depth', 0, 'depth sampledepth samplingdepth depthin depthcm tiefe profondeur profundidad'),
  ...names('depth', 1, 'depthto depthend enddepth bottomdepth depthbottom lowerdepth depthlower depthrange tiefebis'),
  ...names('depth', BARE_BOUND_RANK, 'bottom to lower bis'),
  ...names(
    'depthTop',
    0,
    'depthfrom depthstart startdepth topdepth depthtop upperdepth depthupper begindepth tiefevon',
  ),
  ...names('depthTop', BARE_BOUND_RANK, 'top from upper von'),
  ...names(
    'date',
    0,
    'date sampledate samplingdate datesampled sampleddate dateofsampling sampled sampledon datum probedatum',
  ),
  ...names('date', 0, 'probenahmedatum fecha fechamuestreo fechademuestreo dateprelevement datedeprelevement'),
  ...names(
    'date',
    1,
    'year yr testyear sampleyear samplingyear yearsampled sampledyear jahr probejahr annee ano collected datecollected collectiondate',
  ),
  ...names('date', 2, 'testdate datetested labdate dateanalyzed datereceived receiveddate reportdate datereported'),
  ...names(
    'density',
    0,
    'density scoopdensity scoopeddensity densityscooped sampledensity wv weightvolume volumeweight',
  ),
  ...names('sampleId', 0, 'sampleid sampid smpid smplid idsample'),
  ...names('sampleId', 1, 'probe probenr probennr probennummer muestra idmuestra nomuestra echantillon'),
  ...names(
    'sampleId',
    1,
    'sample sampleno samplenumber samplenum samplenr samplename sampno sampnum samp smp# sample# sid',
  ),
  ...names('sampleId', 1, 'pointid ptid gridid cellid siteid stationid coreid locationid locid zoneid pointno gridno'),
  ...names(
    'sampleId',
    2,
    'id labid labno labnumber labnum labnr lab# uid uniqueid key point pt grid site station zone',
  ),
  ...names('sampleId', 3, 'name label no nr num number # cell core location loc zonename'),
  ...names('sampleId', 4, 'fid objectid oid gid row record recno'),
  ...names('lat', 0, 'lat latitude latdd gpslat gpslatitude latwgs84 latdeg latitudedd breite breitengrad latitud'),
  ...names(
    'lng',
    0,
    'long longitude lon lng longdd londd gpslong gpslon gpslongitude lonwgs84 longwgs84 longdeg longitudedd lange laenge langengrad laengengrad longitud',
  ),
  ...names('lat', 0, 'latdms latituden latn latitudedms'),
  ...names('lng', 0, 'longdms lngdms londms longitudee longitudedms'),
  ...names('lng', 1, 'longitudew longw lonw lngw', 'longitudes west of Greenwich are below 0 or carry a W'),
  ...names('lat', 1, 'y pointy ycoord ycoordinate coordy yutm utmy northing north'),
  ...names('lng', 1, 'x pointx xcoord xcoordinate coordx xutm utmx easting east'),
]);
