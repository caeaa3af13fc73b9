import { fail, note, ok, type Problem, type Result, stop } from '../../base/problem.ts';
import { encodeUtf8 } from '../../base/text.ts';
import { KG_PER_LB, M2_PER_ACRE } from '../../base/units.ts';
import { zipFiles } from '../../formats/zip.ts';
import type { TaskDataOut } from '../types.ts';
import { gridPlace, gridRates } from './grid.ts';
import type { TaskDataInput } from './types.ts';
import { beyondOf, gridName, milligrams, shownAs, taskDataXml } from './xml.ts';

/** Folder and name that the standard asks for, capital letters and all. */
export const TASK_DATA_XML = 'TASKDATA/TASKDATA.XML';
/** Ending of the grid files. Public readers ask for either case; capitals go with the other names. */
export const GRID_ENDING = '.BIN';

/** Largest value of a process data variable, a signed 32-bit number. */
const MOST_VALUE = 2_147_483_647;

/**
 * ISO 11783-10 task data of the plan in one zip: `TASKDATA/TASKDATA.XML` and a grid of values (type 2) for each pass.
 *
 * The XML: products (PDT), how their rates are shown (VPN), the partfield with its boundary and holes (PFD), and for each pass a planned task (TSK) with
 * three treatment zones: out of the field and default (0), the grid's template (1), position lost (254); with several passes, rates above 0 out of the
 * field and without a position go with the first, so that driving all of them spreads them once. A grid file holds, from the
 * south-west corner eastward and then northward, one signed 32-bit little-endian number of mg/m2 for each product. The grid is the field's lattice (`gridPlace`),
 * its values those of `gridRates`, rounded to whole mg/m2 (about 0.009 lb/ac). Devices are not named: the machine is chosen in its terminal.
 *
 * `out` compares the pounds that the grid's values make on the spreadable ground of each cell with those planned. Same input, same bytes.
 * Problems: `task-data-rate` (a rate that the format cannot hold); note `task-data-kept-out` (a rate outside is given, and the field has ground to be left: it is 0
 * in the grid). Throws on no product or more than two, on rates under 0, labels of another lattice, and ground beyond the lattice.
 * Source: ISO 11783-10 and ISO 11783-11 (data dictionary); the layout of the grid as public readers have it.
 */
export function writeTaskData(input: TaskDataInput): Result<{ readonly bytes: Uint8Array; readonly out: TaskDataOut }> {
  const { prescriptions, products, path } = input;
  checkInput(input);
  const tooMuch = rateProblem(input);
  if (tooMuch) return fail(tooMuch);
  const place = gridPlace(input);
  const grids = prescriptions.map((one, pass) => gridRates(place, one, input, pass));
  const values = grids.map(({ rates_lbPerAc }) => gridValues(rates_lbPerAc));
  const files = values.map((of, index) => ({
    name: `TASKDATA/${gridName(index)}${GRID_ENDING}`,
    bytes: littleEndian(of),
  }));
  const xml = taskDataXml(
    input,
    place,
    files.map((file) => file.bytes.length),
  );
  const problems: Problem[] = [];
  const without = grids.reduce((most, grid) => Math.max(most, grid.without), 0);
  if (input.outside_lbPerAc > 0 && without > 0) {
    problems.push(
      note(
        'task-data-kept-out',
        `${without} cells of the task data lie within the field's outline and under no zone; they are 0, although ${input.outside_lbPerAc} lb/ac is to be spread outside every polygon.`,
        'A terminal that takes the boundary for the grid may still spread there: take 0 for the rate outside if that must not be.',
        { file: path, setting: 'handoff.outside_lbPerAc' },
      ),
    );
  }
  return ok(
    {
      bytes: zipFiles([{ name: TASK_DATA_XML, bytes: encodeUtf8(xml) }, ...files]),
      out: {
        path,
        columns: place.lattice.cols,
        rows: place.lattice.rows,
        shown: shownAs(input.rateUnit),
        tasks: prescriptions.flatMap(({ pass, pieces }, task) =>
          products.map((product, index) => ({
            pass,
            product,
            planned_lb: pieces.reduce(
              (sum, piece) => sum + piece.acres * (index === 0 ? piece.rate_lbPerAc : piece.second_lbPerAc),
              0,
            ),
            ...beyondOf(input, task, index),
            grid_lb: pounds(values[task]?.[index] ?? new Int32Array(0), place.ground_m2),
          })),
        ),
      },
    },
    problems,
  );
}

function checkInput({ products, prescriptions, lattice, labels, ground }: TaskDataInput): void {
  if (products.length < 1 || products.length > 2) throw new RangeError(`${products.length} products`);
  if (prescriptions.length < 1 || prescriptions.length > 254) throw new RangeError(`${prescriptions.length} passes`);
  if (labels && labels.labels.length !== lattice.cols * lattice.rows) throw new RangeError('labels of another lattice');
  const north = lattice.south_deg + lattice.rows * lattice.dLat_deg;
  const east = lattice.west_deg + lattice.cols * lattice.dLng_deg;
  for (const polygon of ground)
    for (const [lng, lat] of polygon[0] ?? [])
      if (lng < lattice.west_deg || lat < lattice.south_deg || lng > east || lat > north)
        throw new RangeError('ground beyond the lattice');
}

function rateProblem({ prescriptions, outside_lbPerAc, noPosition_lbPerAc, path }: TaskDataInput): Problem | null {
  let most = 0;
  const look = (rate: number): void => {
    if (!(rate >= 0)) throw new RangeError(`rate of ${rate} lb/ac`);
    most = Math.max(most, rate);
  };
  look(outside_lbPerAc);
  look(noPosition_lbPerAc);
  for (const { pieces } of prescriptions)
    for (const piece of pieces) {
      look(piece.rate_lbPerAc);
      look(piece.second_lbPerAc);
    }
  if (milligrams(most) <= MOST_VALUE) return null;
  return stop(
    'task-data-rate',
    `A rate of ${most} lb/ac is more than ISO 11783-10 task data can hold (${Math.floor((MOST_VALUE / 1e6 / KG_PER_LB) * M2_PER_ACRE)} lb/ac).`,
    'Correct the rate, or leave task data out of the files.',
    { file: path, setting: 'handoff.files' },
  );
}

const gridValues = (rates: readonly Float64Array[]): Int32Array[] => rates.map((of) => Int32Array.from(of, milligrams));

/** Cell by cell, within it product by product. */
function littleEndian(values: readonly Int32Array[]): Uint8Array {
  const count = values[0]?.length ?? 0;
  const bytes = new Uint8Array(count * values.length * 4);
  const view = new DataView(bytes.buffer);
  values.forEach((of, product) => {
    for (let cell = 0; cell < count; cell++) view.setInt32((cell * values.length + product) * 4, of[cell] ?? 0, true);
  });
  return bytes;
}

function pounds(values_mgPerM2: Int32Array, ground_m2: Float64Array): number {
  let sum_mg = 0;
  for (let cell = 0; cell < values_mgPerM2.length; cell++)
    sum_mg += (values_mgPerM2[cell] ?? 0) * (ground_m2[cell] ?? 0);
  return sum_mg / 1e6 / KG_PER_LB;
}
