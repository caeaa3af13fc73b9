import { Menu, type MenuItemConstructorOptions } from 'electron';

/**
 * What a system expects of a program, by roles only. Undo and redo are missing on purpose: the window has its own, of the
 * plan, and a menu would take their keys.
 */
export function setMenu(): void {
  const onMac = process.platform === 'darwin';
  const program: MenuItemConstructorOptions[] = onMac ? [{ role: 'appMenu' }] : [];
  Menu.setApplicationMenu(
    Menu.buildFromTemplate([
      ...program,
      { label: 'File', submenu: [onMac ? { role: 'close' } : { role: 'quit' }] },
      { label: 'Edit', submenu: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }] },
      {
        label: 'View',
        submenu: [
          { role: 'resetZoom' },
          { role: 'zoomIn' },
          { role: 'zoomOut' },
          { type: 'separator' },
          { role: 'togglefullscreen' },
        ],
      },
      { role: 'windowMenu' },
    ]),
  );
}
