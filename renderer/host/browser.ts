import { BRIDGE_PATH, decodeMessage, encodeMessage, TOKEN_FRAGMENT, TOKEN_HEADER } from '../../core/bridge/codec.ts';
import type { HostAnswers, HostApi, HostArgs, HostCall } from '../../core/bridge/host-api.ts';

/** Thrown where the loopback host gives no answer at all; answered troubles come back as values. */
export class HostGone extends Error {
  override readonly name = 'HostGone';
}

/** The host API over the loopback server that served this window. The token of the run comes in the address. */
export function browserHost(): HostApi {
  const token = new URLSearchParams(location.hash.slice(1)).get(TOKEN_FRAGMENT) ?? '';
  return {
    call: (name, args) => post(token, name, args),
    // The loopback server has no way to hand over files: the address in the browser is the only door.
    onOpen: () => () => {},
  };
}

async function post<C extends HostCall>(token: string, name: C, args: HostArgs<C>): Promise<HostAnswers[C]> {
  const response = await fetch(BRIDGE_PATH, {
    method: 'POST',
    headers: { 'content-type': 'application/json', [TOKEN_HEADER]: token },
    body: encodeMessage({ name, args }),
  }).catch((error: unknown) => {
    throw new HostGone(error instanceof Error ? error.message : String(error));
  });
  if (!response.ok) throw new HostGone(`${response.status} ${await response.text()}`);
  // The server answers a call with that call's own answer; both ends share the contract's types.
  return decodeMessage(await response.text()) as HostAnswers[C];
}
