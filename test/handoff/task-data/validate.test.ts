import { describe, expect, it } from 'vitest';
import { zipFiles } from '../../../core/formats/zip.ts';
import { validateTaskData } from '../../../core/handoff/task-data/validate.ts';
import { filesOf, foreign, six, withGrid, withXml, written } from './helpers.ts';

const plain = written(six([0, 100, 200, 300, 400, 1000])).bytes;

describe('the rules of the standard', () => {
  it('are kept by what we write, and by task data that the public schema holds valid', () => {
    for (const bytes of [plain, foreign('v4t1'), foreign('v4t2'), foreign('v3t2')])
      expect(validateTaskData(bytes)).toEqual([]);
  });

  it.each([
    ['VersionMajor="4"', 'VersionMajor="5"', 'ISO11783_TaskData: VersionMajor is "5", not one of 3, 4'],
    ['VersionMajor="4"', 'VersionMajor="3"', null],
    [
      'VersionMajor="4" VersionMinor="3"',
      'VersionMajor="3" VersionMinor="2"',
      'ISO11783_TaskData: VersionMinor is "2", not one of 3',
    ],
    [' ManagementSoftwareManufacturer="Pearlash"', '', 'ISO11783_TaskData has no ManagementSoftwareManufacturer'],
    [' DataTransferOrigin="1"', '', 'ISO11783_TaskData has no DataTransferOrigin'],
    ['<PDT A="PDT1"', '<PDT A="PDT"', 'PDT PDT: A is "PDT", not an identifier PDT1, PDT2 ... of 4 to 14 characters'],
    ['<PDT A="PDT1"', '<PDT A="PDT2"', 'PDV 0006 names PDT1, which is missing'],
    ['<VPN', '<PDT A="PDT1" B="again"/><VPN', 'PDT1 is there twice'],
    ['B="0-0-60"', `B="${'x'.repeat(33)}"`, `PDT PDT1: B is "${'x'.repeat(33)}", not a text of at most 32 characters`],
    [
      'C="0.008921791"',
      'C="8.9E-3"',
      'VPN VPN1: C is "8.9E-3", not a number from 1e-9 to 100000000 with at most 9 decimals',
    ],
    ['D="1" E="lb/ac"', 'D="8" E="lb/ac"', 'VPN VPN1: D is "8", not a whole number from 0 to 7'],
    ['D="110428"', 'D="110428.5"', 'PFD PFD1: D is "110428.5", not a whole number from 0 to 4294967294'],
    ['C="Home quarter" ', '', 'PFD PFD1 has no C'],
    [
      'C="42" D="-94"',
      'C="42.0000000001" D="-94"',
      'PNT 2: C is "42.0000000001", not a number from -90 to 90 with at most 9 decimals',
    ],
    ['<LSG A="1">', '<LSG A="2">', 'a boundary of PFD PFD1 has no exterior'],
    ['<PNT A="2" C="42" D="-94"/></LSG>', '</LSG>', 'a ring of PFD PFD1 is not closed'],
    ['E="PFD1"', 'E="PFD7"', 'TSK TSK1 names PFD7, which is missing'],
    [' G="1" H', ' H', 'TSK TSK1 has no G'],
    ['H="0" I="254"', 'H="5" I="254"', 'TSK TSK1: H is zone 5, which is missing'],
    ['I="254" J="0"', 'I="253" J="0"', 'TSK TSK1: I is zone 253, which is missing'],
    ['<TZN A="254"', '<TZN A="255"', 'TZN 255: A is "255", not a whole number from 0 to 254'],
    ['B="11209"', 'B="-1"', 'PDV 0006: B is "-1", not a whole number from 0 to 2147483647'],
    ['B="11209"', 'B="2147483648"', 'PDV 0006: B is "2147483648", not a whole number from 0 to 2147483647'],
    ['A="0006"', 'A="6"', 'PDV 6: A is "6", not four hexadecimal digits'],
    ['A="0006"', 'A="0001"', 'the zones of TSK TSK1 set different things'],
    ['<GRD A="42"', '<GRD A="42.0005"', 'GRD GRD00001 does not cover 3 corners of PFD PFD1'],
    ['D="0.002"', 'D="0.001"', 'GRD GRD00001 does not cover 2 corners of PFD PFD1'],
    ['G="GRD00001"', 'G="GRD1"', 'GRD GRD1: G is "GRD1", not GRD and five digits'],
    ['G="GRD00001"', 'G="GRD00002"', 'GRD GRD00002: its binary file is missing'],
    ['H="24" I', 'H="25" I', 'GRD GRD00001: H is 25, and its binary file has 24 bytes'],
    ['E="3" F="2"', 'E="2" F="3"', 'GRD GRD00001 does not cover 2 corners of PFD PFD1'],
    ['E="3" F="2"', 'E="4" F="2"', 'GRD GRD00001: its binary file has 24 bytes, not 32'],
    ['I="2" J="1"', 'I="2"', 'GRD GRD00001: its zone  is missing'],
    ['I="2" J="1"', 'I="1" J="1"', 'GRD GRD00001 is of codes and names a zone'],
    [
      '</TSK>',
      '<GRD A="42" B="-94" C="0.001" D="0.002" E="3" F="2" G="GRD00001" H="24" I="2" J="1"/></TSK>',
      'TSK TSK1 has 2 grids',
    ],
    ['<PFD A="PFD1"', '<PFD A="PFD1" Z="1"', 'PFD PFD1 has an attribute Z'],
    ['</TSK>', '</TSK><TZN A="1"/>', 'TZN 1 stands in ISO11783_TaskData'],
  ] as const)('%s as %s is told', (from, to, told) => {
    const lost = written(six([0, 100, 200, 300, 400, 1000], { noPosition_lbPerAc: 100 })).bytes;
    const breaks = validateTaskData(withXml(lost, (text) => text.replace(from, to)));
    if (told === null) expect(breaks).toEqual([]);
    else expect(breaks).toContain(told);
  });

  it('ask for values of 0 and more, and for the names of files', () => {
    expect(validateTaskData(withGrid(plain, (grid) => Uint8Array.from(grid, () => 0xff)))).toEqual([
      'GRD GRD00001 has 6 values under 0',
    ]);
    const codes = withGrid(foreign('v4t1'), (grid) => grid.map((code, cell) => (cell === 5 ? 99 : code)));
    expect(validateTaskData(codes)).toEqual(['GRD GRD00001 has cells of zone 99, which is missing']);
    const mixed = zipFiles(filesOf(plain).map((file) => ({ ...file, name: file.name.replace('.BIN', '.Bin') })));
    expect(validateTaskData(mixed)).toEqual(['GRD GRD00001: its binary file is not named GRD00001.BIN']);
    expect(validateTaskData(new Uint8Array(9))).toEqual(['the zip is not a zip archive.']);
  });
});
