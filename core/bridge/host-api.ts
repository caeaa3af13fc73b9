import { z } from 'zod';
import type { Problem } from '../base/problem.ts';
import { type RememberedMapping, rememberedMappingSchema } from '../soil/mapping-memory.ts';

/**
 * What the window may ask of its host. Every call answers a value; a person's trouble is a Problem in it, never a throw.
 * Bytes are Uint8Array on both sides; a transport that cannot carry them encodes them on its own.
 */
const bytes = z.instanceof(Uint8Array);
const inputFile = z.object({ path: z.string(), bytes });

export const hostCalls = {
  about: z.object({}),
  listPlans: z.object({}),
  openPlan: z.object({ planId: z.string() }),
  savePlan: z.object({
    /** Null saves a new plan under a folder made of its name. */
    planId: z.string().nullable(),
    /** JSON text of the plan document. */
    plan: z.string().max(50_000_000),
    /** Inputs that the host may not have yet. */
    inputs: z.array(inputFile).max(1000),
  }),
  /** Writes below an export folder of the plan, reads every file back from disk and answers its bytes. */
  saveExports: z.object({ planId: z.string(), files: z.array(inputFile).min(1).max(1000) }),
  /** Reads the plan's export folder as it is on disk now. */
  readExports: z.object({ planId: z.string() }),
  /** Prints the page of the plan's export folder to a PDF beside it. */
  printSheet: z.object({ planId: z.string() }),
  /** Columns as a person set them, by the headers of their file, latest last. */
  listMappings: z.object({}),
  /** Keeps what was set for the headers of a key, for which use, and the day it was set on; forgets it where `columns` is null. */
  saveMapping: z.object({
    key: rememberedMappingSchema.shape.key,
    columns: rememberedMappingSchema.shape.columns.nullable(),
    role: rememberedMappingSchema.shape.role,
    confirmed: rememberedMappingSchema.shape.confirmed,
  }),
} as const;
export type HostCall = keyof typeof hostCalls;
export type HostArgs<C extends HostCall> = z.infer<(typeof hostCalls)[C]>;

export interface HostAnswers {
  about: {
    readonly host: 'desktop' | 'browser';
    readonly version: string;
    readonly plansFolder: string;
    /** Plan to open at start, or null. */
    readonly openAtStart: string | null;
  };
  listPlans: HostReply<{ readonly plans: readonly PlanEntry[] }>;
  openPlan: HostReply<{
    readonly planId: string;
    readonly plan: string;
    readonly folder: string;
    readonly inputs: readonly NamedInput[];
  }>;
  savePlan: HostReply<{ readonly planId: string; readonly folder: string }>;
  saveExports: HostReply<{ readonly folder: string; readonly files: readonly NamedInput[] }>;
  readExports: HostReply<{ readonly folder: string; readonly files: readonly NamedInput[] }>;
  /** The PDF's place on this machine, and its bytes. */
  printSheet: HostReply<{ readonly file: string; readonly bytes: Uint8Array }>;
  listMappings: HostReply<{ readonly mappings: readonly RememberedMapping[] }>;
  /** All that is kept now. */
  saveMapping: HostReply<{ readonly mappings: readonly RememberedMapping[] }>;
}
export interface PlanEntry {
  readonly planId: string;
  readonly name: string;
  readonly folder: string;
  /** ISO 8601. */
  readonly savedAt: string;
}
export interface NamedInput {
  readonly path: string;
  readonly bytes: Uint8Array;
}
export type HostReply<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

/** The whole door: one call. Preload exposes exactly this. */
export interface HostApi {
  call<C extends HostCall>(name: C, args: HostArgs<C>): Promise<HostAnswers[C]>;
  /** Files the operating system hands to the program, as plan ids; returns the way to stop listening. */
  onOpen(listen: (planId: string) => void): () => void;
}
