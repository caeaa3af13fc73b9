import type { RunHooks } from '../../core/base/hooks.ts';
import { cellsChange, k2oInFiles_lb } from '../../core/handoff/cells-change.ts';
import { spreads } from '../../core/handoff/pieces.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { SHEET_PDF } from '../../core/handoff/sheet/make.ts';
import type { HandoffOut, OutFile } from '../../core/handoff/types.ts';
import { finishExport } from '../../core/pipeline/finish.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { guideOf } from '../../core/rates/guides/list.ts';
import { productsOf } from '../../core/rates/spread.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { writeExports } from '../services/exports.ts';
import { printSheetOf } from '../services/pdf.ts';
import { readPlanAt } from '../services/plan-folder.ts';
import { inputsReport } from './check-job.ts';
import { clockText } from './clock.ts';
import { type BuildReport, failedReport, type Job, type Report, type ZoneReport } from './reports.ts';

/** Runs the whole plan, writes its files as one folder, reads them back from the disk and proves them; then once more with the page and the proof. */
export async function buildJob(job: Job & { kind: 'build' }, hooks: RunHooks): Promise<Report> {
  const opened = await readPlanAt(job.plan);
  if (!opened.ok) return failedReport(job, opened.problems);
  const { plan, inputs } = opened.value;
  const out = await runPlan({ plan, inputs }, hooks);
  const made = describe(job.plan, plan, out);
  const problems = [...opened.problems, ...out.problems];
  if (out.handoff === null || out.stages.handoff.state !== 'fresh') return { ...made, ok: false, problems };

  let files: readonly OutFile[] = out.handoff.files;
  const written = await writeExports(job.out, files);
  if (!written.ok) return { ...made, ok: false, problems: [...problems, written.problem] };
  let proof = proveFiles(written.value.files);
  if (proof.proved) {
    // The page and the manifest say what the proof found; then all is written, read back and proved as it is handed on.
    files = finishExport({ plan, out, proof, when: job.when ?? clockText(new Date()) });
    const finished = await writeExports(job.out, files);
    if (!finished.ok) return { ...made, ok: false, problems: [...problems, finished.problem] };
    proof = proveFiles(finished.value.files);
  }
  const printed = job.pdf ? await printSheetOf(job.out) : null;
  const listed = files.map(({ path, bytes, what }) => ({ path, size: bytes.length, what }));
  return {
    ...made,
    ok: proof.proved && !(proof.strays > 0),
    problems: [...problems, ...proof.problems, ...(printed?.ok === false ? [printed.problem] : [])],
    out: job.out,
    files: printed?.ok
      ? [...listed, { path: SHEET_PDF, size: printed.value.bytes.length, what: 'the page, printed' }]
      : listed,
    proof,
  };
}

function describe(path: string, plan: Plan, out: PlanOut): Omit<BuildReport, 'ok' | 'problems'> {
  const { rates, handoff } = out;
  return {
    kind: 'build',
    plan: path,
    name: plan.name,
    ...inputsReport(out.field, out.soil),
    product: productsOf(plan.rates)
      .map((product) => product.name)
      .join(' and '),
    governs: governsText(plan),
    guide: plan.rates.follows === null ? null : (guideOf(plan.rates.follows)?.name ?? plan.rates.follows),
    zones: (rates?.zones ?? []).map(zoneReport),
    cautions: rates?.cautions ?? [],
    totals: rates && handoff ? totalsOf(plan, rates, handoff) : null,
    budget: rates?.budget ?? null,
    alternatives: rates?.alternatives ?? [],
    spending: rates?.spending ?? null,
    checks: handoff?.checks ?? [],
    out: null,
    files: [],
    proof: null,
  };
}

/** What is spread, by the files; what the zones ask stands beside it by name. */
function totalsOf(plan: Plan, rates: RatesOut, handoff: HandoffOut): NonNullable<BuildReport['totals']> {
  const change = cellsChange(handoff.totals, rates, plan.handoff, plan.rates.machine);
  return {
    ...handoff.totals,
    exact_lb: rates.totals.exact_lb,
    zones_lb: rates.totals.product_lb,
    cells: change && { what: change.what, change_lb: change.change_lb },
    k2o_lb: k2oInFiles_lb(handoff.prescriptions),
    byPass: rates.totals.byPass.map(({ name }) => {
      const own = handoff.prescriptions.find(({ pass }) => pass === name);
      const acres = own?.pieces.reduce((sum, piece) => sum + (spreads(piece) ? piece.acres : 0), 0);
      return { name, acres: acres ?? 0, product_lb: own?.totals.product_lb ?? 0 };
    }),
  };
}

export function governsText({ rates }: Plan): string {
  if (rates.follows !== null) return `the published guide ${guideOf(rates.follows)?.name ?? rates.follows}`;
  const which = rates.governs === 'larger' ? 'the larger of ppm and saturation' : rates.governs;
  return rates.governsTold ? `${which} (as told)` : `${which} (nobody said which)`;
}

const zoneReport = (zone: ZoneRate): ZoneReport => ({
  zone: zone.letter,
  key: zone.key,
  acres: zone.acres,
  k_ppm: zone.reading.k_ppm,
  kSat_pct: zone.reading.kSat_pct,
  cec_meq: zone.reading.cec_meq,
  governing: zone.governing,
  rate_lbPerAc: zone.rate_lbPerAc,
  passes: zone.passes.map(({ name, rate_lbPerAc }) => ({ name, rate_lbPerAc })),
  k2o_lbPerAc: zone.k2o_lbPerAc,
  undone_lbK2OPerAc: zone.undone_lbK2OPerAc,
  leftBy: zone.leftBy,
  cost_perAc: zone.cost_perAc,
  exact_lbPerAc: zone.exact_lbPerAc,
  answers: zone.answers,
  override: zone.override,
  lines: zone.lines,
});
