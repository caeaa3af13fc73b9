import { useEffect, useState } from 'react';
import { compute } from './index.ts';
import type { CallName, RequestOf, ResponseOf } from './protocol.ts';

/**
 * What the worker answers about the results that are shown; null until it has. Asked again when the results, named by `of`, or the request change;
 * the answer to an older question is never shown as the newer one's.
 */
export function useAsked<N extends CallName>(
  name: N,
  request: RequestOf<N> | null,
  of: object | null,
): ResponseOf<N> | null {
  const key = JSON.stringify(request);
  const [answer, setAnswer] = useState<{
    readonly key: string;
    readonly of: object | null;
    readonly response: ResponseOf<N> | null;
  } | null>(null);
  useEffect(() => {
    let left = false;
    // The text stands for the request, which is made anew at each drawing.
    const asked: RequestOf<N> | null = JSON.parse(key);
    if (asked === null || of === null) return;
    void compute.call(name, asked).then((outcome) => {
      if (!left) setAnswer({ key, of, response: outcome.ok ? outcome.response : null });
    });
    return () => {
      left = true;
    };
  }, [name, key, of]);
  return answer?.key === key && answer.of === of ? answer.response : null;
}
