import { create } from 'zustand';
import type { Problem } from '../../core/base/problem.ts';
import type { NamedBytes } from '../../core/formats/types.ts';

/** What the files of a plan are for. */
export type FilePart = 'boundary' | 'keepOut' | 'points' | 'samples';
/** `several`: a zip or workbook whose layers or sheets are for different things. */
export type FileRole = FilePart | 'several' | 'unused';
export type Governs = 'larger' | 'ppm' | 'saturation';

/** Files on their way into a plan: what each is, and what is asked before a plan can start. */
export interface IntakeState {
  readonly files: readonly NamedBytes[];
  /** By file name. */
  readonly roles: Readonly<Record<string, FileRole>>;
  /** Of files that can be for several things: which. By file name. */
  readonly parts: Readonly<Record<string, readonly FilePart[]>>;
  /** What a person said a file is: sorting again leaves it so. */
  readonly told: Readonly<Record<string, FileRole>>;
  readonly status: 'idle' | 'reading' | 'ready' | 'making';
  /** Goes into the plan that is open, instead of starting one. */
  readonly adding: boolean;
  readonly problems: readonly Problem[];
  readonly name: string;
  readonly crop: string | null;
  readonly yieldGoal: number | null;
  /** Null until told: never assumed. */
  readonly governs: Governs | null;
  readonly crs: string;
}

export const NO_INTAKE: IntakeState = {
  files: [],
  roles: {},
  parts: {},
  told: {},
  status: 'idle',
  adding: false,
  problems: [],
  name: '',
  crop: null,
  yieldGoal: null,
  governs: null,
  crs: '',
};

export const useIntake = create<IntakeState>()(() => NO_INTAKE);

/** What a file is for, as it stands now. */
export function partsOf({ roles, parts }: Pick<IntakeState, 'roles' | 'parts'>, name: string): readonly FilePart[] {
  const role = roles[name] ?? 'unused';
  if (role === 'unused') return [];
  return role === 'several' ? (parts[name] ?? []) : [role];
}

/** Files that belong together: the parts of one loose shapefile, or a file by itself. */
export interface FileGroup {
  readonly label: string;
  readonly names: readonly string[];
  readonly size: number;
}

const PART = /\.(shp|shx|dbf|prj|cpg|sbn|sbx|qix|qpj|fix|shp\.xml)$/i;

/** One group a shapefile, its parts told in the label; every other file stands alone. */
export function groupFiles(files: readonly NamedBytes[]): readonly FileGroup[] {
  const groups = new Map<string, NamedBytes[]>();
  for (const file of files) {
    const key = PART.test(file.name) ? `parts of ${file.name.replace(PART, '').toLowerCase()}` : file.name;
    groups.set(key, [...(groups.get(key) ?? []), file]);
  }
  return [...groups.values()].map((parts) => {
    const main = parts.find((part) => /\.shp$/i.test(part.name)) ?? parts[0];
    const others = parts.filter((part) => part !== main).map((part) => part.name.slice(part.name.lastIndexOf('.')));
    return {
      label: others.length > 0 ? `${main?.name ?? ''} with ${others.join(' ')}` : (main?.name ?? ''),
      names: parts.map((part) => part.name),
      size: parts.reduce((sum, part) => sum + part.bytes.length, 0),
    };
  });
}

const TELLS_NOTHING = /^(field|fields|boundary|boundaries|border|outline|shape|export|data)$/i;

/** A plan's name out of its boundary file's: `north_40.zip` gives `North 40`; a name that tells nothing gives `New field`. */
export function nameFrom(fileName: string | undefined): string {
  const base = (fileName ?? '').replace(/^.*\//, '').replace(/\.[A-Za-z.]+$/, '');
  const words = base.split(/[\s_.-]+/).filter((word) => word !== '' && !TELLS_NOTHING.test(word));
  if (words.length === 0) return 'New field';
  const text = words.join(' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}
