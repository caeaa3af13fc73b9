import { BrowserWindow } from 'electron';
import { caution } from '../../core/base/problem.ts';
import type { PrintPdf } from '../services/pdf.ts';
import { reply } from '../services/trouble.ts';

/**
 * Prints a page that lies on the disk, in a window that is never shown, runs no script, keeps nothing and goes at once. The page's own paper is used.
 * Problem: the caution `pdf-failed`.
 */
export const printPdf: PrintPdf = async (htmlFile) => {
  const window = new BrowserWindow({
    show: false,
    webPreferences: {
      partition: 'print',
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      javascript: false,
      webSecurity: true,
    },
  });
  try {
    window.webContents.setWindowOpenHandler(() => ({ action: 'deny' }));
    await window.loadFile(htmlFile);
    const bytes = await window.webContents.printToPDF({ preferCSSPageSize: true, printBackground: true });
    return reply.done(new Uint8Array(bytes));
  } catch (error) {
    return reply.refused(
      caution(
        'pdf-failed',
        'The page could not be printed.',
        'Open sheet.html in a browser and print it from there.',
        { file: htmlFile },
        String(error),
      ),
    );
  } finally {
    window.destroy();
  }
};
