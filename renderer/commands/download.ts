import { plainBytes } from './bytes.ts';

const ZIP = /\.(zip|pearlash)$/;

/** Hands bytes to the person as a file of that name. */
export function download(name: string, bytes: Uint8Array): void {
  const blob = new Blob([plainBytes(bytes)], {
    type: ZIP.test(name) ? 'application/zip' : 'application/octet-stream',
  });
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
