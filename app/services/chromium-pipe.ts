import type { Readable, Writable } from 'node:stream';

/** One message of the browser: an answer to a number we gave, or an event of a session. */
interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly result?: Readonly<Record<string, unknown>>;
  readonly error?: { readonly message?: string };
}

/**
 * The browser's own protocol over two pipes (Chrome DevTools Protocol, `--remote-debugging-pipe`): JSON with a NUL after each message. Used instead of
 * `--print-to-pdf`, which not every build has and which decides the paper by itself.
 */
class Pipe {
  private readonly out: Writable;
  private readonly waiting = new Map<
    number,
    { done: (result: Message['result']) => void; fail: (error: Error) => void }
  >();
  private readonly events = new Map<string, () => void>();
  private count = 0;
  private left = '';

  constructor(out: Writable, into: Readable) {
    this.out = out;
    // A browser that is ended breaks the pipe; whoever waits hears of it by `close`.
    out.on('error', () => this.end('the pipe to the browser broke'));
    into.on('error', () => this.end('the pipe from the browser broke'));
    into.on('close', () => this.end('the browser went away'));
    into.setEncoding('utf8').on('data', (text: string) => this.take(text));
  }

  ask(method: string, params: object = {}, sessionId?: string): Promise<NonNullable<Message['result']>> {
    const id = ++this.count;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { done: (result) => resolve(result ?? {}), fail: reject });
      this.out.write(`${JSON.stringify({ id, method, params, ...(sessionId === undefined ? {} : { sessionId }) })}\0`);
    });
  }

  once(event: string): Promise<void> {
    return new Promise((resolve) => this.events.set(event, resolve));
  }

  private take(text: string): void {
    const parts = (this.left + text).split('\0');
    this.left = parts.pop() ?? '';
    for (const part of parts) {
      // The browser writes its own protocol; what is not of this shape is passed over below.
      const message = JSON.parse(part) as Message;
      if (message.id === undefined) {
        this.events.get(message.method ?? '')?.();
        continue;
      }
      const one = this.waiting.get(message.id);
      this.waiting.delete(message.id);
      if (message.error) one?.fail(new Error(message.error.message ?? 'the browser refused'));
      else one?.done(message.result);
    }
  }

  private end(why: string): void {
    for (const { fail } of this.waiting.values()) fail(new Error(why));
    this.waiting.clear();
  }
}

/** Loads an address without script and prints it on the page's own paper. Throws in words where the browser refuses or goes away. */
export async function printOverPipe(out: Writable, into: Readable, address: string): Promise<Uint8Array> {
  const pipe = new Pipe(out, into);
  const text = (value: unknown): string => (typeof value === 'string' ? value : '');
  const { targetId } = await pipe.ask('Target.createTarget', { url: 'about:blank' });
  const attached = await pipe.ask('Target.attachToTarget', { targetId, flatten: true });
  const session = text(attached.sessionId);
  await pipe.ask('Page.enable', {}, session);
  await pipe.ask('Emulation.setScriptExecutionDisabled', { value: true }, session);
  const loaded = pipe.once('Page.loadEventFired');
  const { errorText } = await pipe.ask('Page.navigate', { url: address }, session);
  if (text(errorText) !== '') throw new Error(text(errorText));
  await loaded;
  const { data } = await pipe.ask('Page.printToPDF', { preferCSSPageSize: true, printBackground: true }, session);
  // The answer to this one may never come, since the browser ends on it.
  pipe.ask('Browser.close').catch(() => undefined);
  return new Uint8Array(Buffer.from(text(data), 'base64'));
}
