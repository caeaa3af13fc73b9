import type { Problem } from '../../core/base/problem.ts';
import type { HostAnswers, HostArgs, HostCall } from '../../core/bridge/host-api.ts';
import { host } from '../host/index.ts';

/** The host's answer, or a Problem where it gave none: it was ended, or the address lacks this run's token. */
export type Asked<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

export async function askHost<C extends HostCall>(name: C, args: HostArgs<C>): Promise<Asked<HostAnswers[C]>> {
  try {
    return { ok: true, value: await host.call(name, args) };
  } catch (error) {
    return { ok: false, problem: gone(error) };
  }
}

const gone = (error: unknown): Problem => ({
  code: 'host-gone',
  severity: 'stop',
  message: 'The program behind this window does not answer.',
  remedy: 'Start it again and open the address that it prints. Save a copy first: that needs no host.',
  detail: error instanceof Error ? error.message : String(error),
});
