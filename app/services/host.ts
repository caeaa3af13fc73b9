import { join } from 'node:path';
import { type Problem, stop } from '../../core/base/problem.ts';
import { type HostAnswers, type HostArgs, type HostCall, hostCalls } from '../../core/bridge/host-api.ts';
import { planText } from '../../core/plan/open.ts';
import { EXPORT_FOLDER, readExportsAt, writeExports } from './exports.ts';
import { type PrintPdf, printSheetOf } from './pdf.ts';
import type { PlanStore } from './plan-store.ts';
import { reply } from './trouble.ts';

/** What differs from host to host. */
export interface HostPorts {
  readonly host: HostAnswers['about']['host'];
  readonly version: string;
  readonly store: PlanStore;
  /** Plan that the window shows first, or null. */
  readonly openAtStart: () => string | null;
  /** How this host prints a page; with a Chromium of the machine where absent. */
  readonly printPdf?: PrintPdf;
  /** Hears of mistakes in the program that a call ran into; a person only reads that it failed. */
  readonly onFault: (error: unknown) => void;
}

/** The one dispatcher under every transport. */
export interface Host {
  /** Answers the call's value, or `{ok: false, problem}`; never throws, whatever comes in. */
  call(name: unknown, rawArgs: unknown): Promise<unknown>;
}

type Handlers = { readonly [C in HostCall]: (args: HostArgs<C>) => Promise<HostAnswers[C]> };

export function createHost(ports: HostPorts): Host {
  const { store } = ports;
  const handlers: Handlers = {
    about: async () => ({
      host: ports.host,
      version: ports.version,
      plansFolder: store.plansFolder,
      openAtStart: ports.openAtStart(),
    }),
    listPlans: async () => reply.done({ plans: await store.list() }),
    openPlan: async ({ planId }) => {
      const found = await store.open(planId);
      if (!found.ok) return found;
      const { opened, folder } = found.value;
      const inputs = [...opened.inputs].map(([path, bytes]) => ({ path, bytes }));
      return reply.done({ planId: found.value.planId, plan: planText(opened.plan), folder, inputs });
    },
    savePlan: ({ planId, plan, inputs }) => store.save(planId, plan, inputs),
    saveExports: async ({ planId, files }) => {
      const folder = await store.folderOf(planId);
      return folder.ok ? writeExports(join(folder.value, EXPORT_FOLDER), files) : folder;
    },
    readExports: async ({ planId }) => {
      const folder = await store.folderOf(planId);
      return folder.ok ? readExportsAt(join(folder.value, EXPORT_FOLDER)) : folder;
    },
    printSheet: async ({ planId }) => {
      const folder = await store.folderOf(planId);
      return folder.ok ? printSheetOf(join(folder.value, EXPORT_FOLDER), ports.printPdf) : folder;
    },
    listMappings: async () => reply.done({ mappings: await store.mappings.list() }),
    saveMapping: ({ key, columns, ...told }) => store.mappings.save(key, columns, told),
  };

  const run = async <C extends HostCall>(name: C, rawArgs: unknown): Promise<unknown> => {
    const args = hostCalls[name].safeParse(rawArgs);
    if (!args.success) return reply.refused(badCall(`The call ${name} came with wrong values.`, args.error.message));
    // Zod's answer for the schema of this very name is what its handler takes; the compiler cannot pair the two.
    return handlers[name](args.data as HostArgs<C>);
  };

  return {
    call: async (name, rawArgs) => {
      try {
        if (!isHostCall(name)) return reply.refused(badCall('There is no such call.', String(name).slice(0, 80)));
        return await run(name, rawArgs);
      } catch (error) {
        ports.onFault(error);
        const remedy = 'Save the plan under another name, then start the program again.';
        return reply.refused(stop('host-fault', 'The program ran into a mistake of its own.', remedy));
      }
    },
  };
}

const isHostCall = (name: unknown): name is HostCall => typeof name === 'string' && Object.hasOwn(hostCalls, name);

const badCall = (message: string, detail: string): Problem =>
  stop('host-bad-call', message, 'Load the window again; its parts may be of different versions.', undefined, detail);
