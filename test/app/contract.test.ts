import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { createPlanStore } from '../../app/services/plan-store.ts';
import type { HostAnswers, HostApi } from '../../core/bridge/host-api.ts';
import { headerKey } from '../../core/soil/mapping-memory.ts';
import { codeOf, exportOf, got, planWith, tempFolder } from './helpers.ts';
import { TRANSPORTS, type Transport } from './transports.ts';

describe.each(Object.keys(TRANSPORTS))('the bridge over %s', (name) => {
  let open: Transport | null = null;
  afterEach(async () => {
    await open?.close();
    open = null;
  });

  const start = async () => {
    const home = await tempFolder();
    const transport = await TRANSPORTS[name]?.(createPlanStore({ home, sampleFields: null }), home);
    if (!transport) throw new Error(`no transport ${name}`);
    open = transport;
    // The suite sends what the contract says; raw calls go through `transport.call`.
    const call = transport.call as unknown as HostApi['call'];
    return { home, call, raw: transport.call, host: transport.host };
  };

  it('says what it is', async () => {
    const { call, home, host } = await start();
    const about: HostAnswers['about'] = {
      host,
      version: '0.0.0-test',
      plansFolder: join(home, 'plans'),
      openAtStart: null,
    };
    expect(await call('about', {})).toEqual(about);
  });

  it('saves a plan, lists it and opens it byte for byte', async () => {
    const { call, home } = await start();
    const { text, inputs } = planWith('North forty', { 'lab.csv': 'id;K\r\n1;„20“\r\n', 'empty.csv': '' });
    const saved = got(await call('savePlan', { planId: null, plan: text, inputs: [...inputs] }));
    expect(saved).toEqual({ planId: 'north-forty', folder: join(home, 'plans', 'north-forty') });
    const { plans } = got(await call('listPlans', {}));
    expect(plans).toMatchObject([{ planId: 'north-forty', name: 'North forty', folder: saved.folder }]);
    expect(Date.parse(plans[0]?.savedAt ?? '')).toBeGreaterThan(0);
    expect(got(await call('openPlan', { planId: saved.planId }))).toEqual({ ...saved, plan: text, inputs });
  });

  it('says that there is no page to print where none was written', async () => {
    const { call } = await start();
    const { planId } = got(await call('savePlan', { planId: null, plan: planWith('North', {}).text, inputs: [] }));
    expect(codeOf(await call('printSheet', { planId }))).toBe('pdf-no-sheet');
    got(await call('saveExports', { planId, files: [...exportOf({ 'rx.geojson': '{}' })] }));
    expect(codeOf(await call('printSheet', { planId }))).toBe('pdf-no-sheet');
    expect(codeOf(await call('printSheet', { planId: '../other' }))).not.toBe('pdf-no-sheet');
  });

  it('writes exports, answers them as the disk has them, and reads them again', async () => {
    const { call } = await start();
    const { planId, folder } = got(
      await call('savePlan', { planId: null, plan: planWith('North', {}).text, inputs: [] }),
    );
    const files = exportOf({ 'rx.geojson': '{}', 'shapefile/rx.shp': '\0\x01\xff' });
    const written = got(await call('saveExports', { planId, files: [...files] }));
    expect(written.folder).toBe(join(folder, 'handoff'));
    expect(new Map(written.files.map((file) => [file.path, file.bytes]))).toEqual(
      new Map(files.map((file) => [file.path, file.bytes])),
    );
    await writeFile(join(written.folder, 'rx.geojson'), 'changed since');
    const now = got(await call('readExports', { planId })).files.find((file) => file.path === 'rx.geojson');
    expect(Buffer.from(now?.bytes ?? []).toString()).toBe('changed since');
  });

  it('carries bytes of every value', async () => {
    const { call } = await start();
    const { planId } = got(await call('savePlan', { planId: null, plan: planWith('North', {}).text, inputs: [] }));
    const all = Uint8Array.from({ length: 70_000 }, (_, at) => (at * 31) % 256);
    const [manifest] = exportOf({}).slice(-1);
    if (!manifest) throw new Error('no manifest');
    const written = got(await call('saveExports', { planId, files: [{ path: 'all.bin', bytes: all }, manifest] }));
    const back = written.files.find((file) => file.path === 'all.bin')?.bytes;
    expect(back).toBeInstanceOf(Uint8Array);
    expect(Buffer.compare(back ?? new Uint8Array(), all)).toBe(0);
  });

  it('remembers what columns are, by their headers, on the day they were set, and forgets them', async () => {
    const { call, home } = await start();
    const key = headerKey(['Probe', 'Wert 1']);
    expect(got(await call('listMappings', {}))).toEqual({ mappings: [] });
    const k = (unit: 'ppm' | 'lb/ac') => [{ column: 'Wert 1', is: 'k' as const, unit }];
    const saved = got(await call('saveMapping', { key, columns: k('ppm') }));
    expect(saved.mappings).toEqual([{ key, on: expect.stringMatching(/^\d{4}-\d{2}-\d{2}$/), columns: k('ppm') }]);
    const other = headerKey(['ID']);
    got(await call('saveMapping', { key: other, columns: [{ column: 'ID', is: 'sampleId', unit: 'none' }] }));
    got(await call('saveMapping', { key, columns: k('lb/ac') }));
    const { mappings } = got(await call('listMappings', {}));
    expect(mappings.map((one) => [one.key, one.columns[0]?.unit])).toEqual([
      [other, 'none'],
      [key, 'lb/ac'],
    ]);
    const told = { role: 'points' as const, confirmed: ['ID'] };
    const id = [{ column: 'ID', is: 'sampleId' as const, unit: 'none' as const }];
    expect(got(await call('saveMapping', { key: other, columns: id, ...told })).mappings.at(-1)).toMatchObject(told);
    expect(await readdir(home)).toContain('mappings.json');
    expect(got(await call('saveMapping', { key: other, columns: null })).mappings).toHaveLength(1);
    await writeFile(join(home, 'mappings.json'), '{"mappings":[{"key":"old"}]');
    expect(got(await call('listMappings', {}))).toEqual({ mappings: [] });
  });

  it('answers troubles as Problems', async () => {
    const { call } = await start();
    expect(codeOf(await call('openPlan', { planId: 'nothing' }))).toBe('plan-unknown');
    expect(codeOf(await call('readExports', { planId: '../..' }))).toBe('plan-unknown');
    expect(codeOf(await call('savePlan', { planId: null, plan: '{}', inputs: [] }))).toBe('plan-other');
    const { text } = planWith('North');
    expect(codeOf(await call('savePlan', { planId: null, plan: text, inputs: [] }))).toBe('plan-input-missing');
    const answer = await call('savePlan', { planId: null, plan: text, inputs: [] });
    expect(answer).toMatchObject({
      ok: false,
      problem: { severity: 'stop', message: expect.any(String), remedy: expect.any(String) },
    });
  });

  const foreign: readonly [string, unknown][] = [
    ['no such call', {}],
    ['__proto__', {}],
    ['constructor', {}],
    ['openPlan', null],
    ['openPlan', {}],
    ['openPlan', { planId: 7 }],
    ['savePlan', { planId: null, plan: 'x', inputs: [{ path: 'a', bytes: 'text' }] }],
    ['saveExports', { planId: 'x', files: [] }],
    ['savePlan', [1, 2, 3]],
    ['saveMapping', { key: 'x', columns: [] }],
    ['saveMapping', { key: 'a'.repeat(64), columns: [{ column: 'K', is: 'gold', unit: 'ppm' }] }],
  ];
  it.each(foreign)('answers a foreign call %j %j with a Problem', async (call, args) => {
    const { raw } = await start();
    const answer = await raw(call, args);
    expect(answer).toMatchObject({ ok: false, problem: { code: 'host-bad-call' } });
  });

  it('answers a mistake of its own with a Problem that tells nothing of the inside', async () => {
    const { call, home } = await start();
    await mkdir(home, { recursive: true });
    await writeFile(join(home, 'plans'), 'a file where the folder of plans should be');
    const answer: unknown = await call('listPlans', {});
    expect(answer).toMatchObject({ ok: false, problem: { code: 'host-fault' } });
    expect(JSON.stringify(answer)).not.toContain(home);
  });
});
