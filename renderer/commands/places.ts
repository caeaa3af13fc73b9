import type { PanelName } from '../store/view.ts';

/** Where a problem's setting stands in the window: panel and tab. */
export function placeOfSetting(setting: string): { readonly panel: PanelName; readonly tab?: string } {
  const [stage = ''] = setting.split('.');
  switch (stage) {
    case 'field':
      return { panel: 'field' };
    case 'soil':
      return { panel: 'soil', tab: /olumns|Files/.test(setting) ? 'table' : 'about' };
    case 'surfaces':
      return { panel: 'surfaces' };
    case 'zones':
      return { panel: 'zones', tab: 'outlines' };
    case 'rates':
      return { panel: 'rates', tab: setting.startsWith('rates.overrides') ? 'ledger' : 'basis' };
    default:
      return { panel: 'handoff' };
  }
}
