import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Folders of core in order: each may import only from itself and those before it. */
const CORE_ORDER = [
  'base',
  'geo',
  'formats',
  'soil',
  'surfaces',
  'layers',
  'zones',
  'rates',
  'handoff',
  'review',
  'plan',
  'pipeline',
  'bridge',
];

/** Third parties and the one folder each may be imported from. */
const HOMES: readonly (readonly [RegExp, readonly string[]])[] = [
  [/^electron$/, ['app/electron']],
  [/^(maplibre-gl|terra-draw)/, ['renderer/map']],
  [/^zustand/, ['renderer/store']],
  [/^react/, ['renderer']],
  [/^(shpjs|fflate|proj4|geotiff|papaparse|csv-parse)/, ['core/formats']],
  [/^(@turf\/|clipper2-ts|polylabel|sweepline-intersections)/, ['core/geo']],
  [/^@noble\/hashes/, ['core/base']],
  [/^simple-statistics$/, ['core/zones']],
  [/^zod$/, ['core', 'app/services']],
  [/^geojson$/, ['core', 'renderer/map']],
  [/^assemblyscript/, ['app/kernels']],
  [/^node:/, ['app']],
];

interface Import {
  readonly from: string;
  readonly what: string;
}

function sources(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sources(path);
    return /\.(ts|tsx)$/.test(entry.name) && !entry.name.endsWith('.d.ts') && entry.name !== 'vite.config.ts'
      ? [path]
      : [];
  });
}

function importsOf(file: string): Import[] {
  const text = readFileSync(join(root, file), 'utf8');
  const found = text.matchAll(
    /(?:^|\n)\s*(?:import|export)\s[^;'"]*?from\s*['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)|(?:^|\n)\s*import\s*['"]([^'"]+)['"]/g,
  );
  return [...found].map((match) => ({ from: file, what: match[1] ?? match[2] ?? match[3] ?? '' }));
}

const all = ['core', 'app', 'renderer'].filter((folder) => statSync(join(root, folder)).isDirectory()).flatMap(sources);
const imports = all.flatMap(importsOf);
const inner = imports
  .filter(({ what }) => what.startsWith('.'))
  .map(({ from, what }) => ({ from, to: relative(root, resolve(root, dirname(from), what)) }));

describe('the architecture', () => {
  it('finds sources to judge', () => {
    expect(all.length).toBeGreaterThan(50);
    expect(inner.length).toBeGreaterThan(100);
  });

  it('lets app and renderer import core, and nothing the other way or across', () => {
    const wrong = inner.filter(({ from, to }) => {
      const [a] = from.split('/');
      const [b] = to.split('/');
      return a !== b && b !== 'core';
    });
    expect(wrong).toEqual([]);
  });

  it('lets a folder of core import only from those before it', () => {
    const rank = (file: string) => CORE_ORDER.indexOf(file.split('/')[1] ?? '');
    const core = inner.filter(({ from, to }) => from.startsWith('core/') && to.startsWith('core/'));
    expect(core.filter(({ from }) => rank(from) < 0)).toEqual([]);
    expect(core.filter(({ from, to }) => rank(to) > rank(from))).toEqual([]);
  });

  it('gives each third party one home', () => {
    const outside = imports.filter(({ what }) => !what.startsWith('.') && !what.startsWith('virtual:'));
    const wrong = outside.filter(({ from, what }) => {
      const home = HOMES.find(([name]) => name.test(what));
      return !home?.[1].some((folder) => from.startsWith(`${folder}/`));
    });
    expect(wrong).toEqual([]);
  });

  it('keeps clocks, chance and consoles out of core', () => {
    const wrong = all
      .filter((file) => file.startsWith('core/'))
      .filter((file) =>
        /\bDate\.now\(|\bnew Date\(\)|Math\.random\(|\bconsole\.|\bprocess\.|\bperformance\./.test(
          readFileSync(join(root, file), 'utf8'),
        ),
      );
    expect(wrong).toEqual([]);
  });
});
