import { type ReactElement, useEffect, useState } from 'react';

const SAID_MS = 2000;

/** Puts a text on the clipboard and says so on itself for a while. */
export function CopyButton({ label, text }: { readonly label: string; readonly text: () => string }): ReactElement {
  const [said, setSaid] = useState<string | null>(null);
  useEffect(() => {
    if (said === null) return;
    const timer = setTimeout(() => setSaid(null), SAID_MS);
    return () => clearTimeout(timer);
  }, [said]);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text());
      setSaid('Copied');
    } catch {
      setSaid('The clipboard is closed here');
    }
  };
  return (
    <button type="button" className="btn" aria-live="polite" onClick={() => void copy()}>
      {said ?? label}
    </button>
  );
}
