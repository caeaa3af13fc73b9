import type { PanelName } from '../store/view.ts';

/** Where a problem's setting stands in the window: panel and tab. */
export function placeOfSetting(setting: string): { readonly panel: PanelName; readonly tab?: string } {
  const [stage = ''] = setting.split('.');
  switch (stage) {
    case 'field':
      return { panel: 'field', tab: setting.startsWith('field.setbacks') ? 'setbacks' : 'area' };
    case 'soil':
      return { panel: 'soil', tab: soilTab(setting) };
    case 'ground':
      return { panel: 'field', tab: 'ground' };
    case 'surfaces':
      return { panel: 'surfaces', tab: 'error' };
    case 'rasters':
      return { panel: 'surfaces', tab: 'own' };
    case 'zones':
      return { panel: 'zones', tab: zonesTab(setting) };
    case 'rates':
      return { panel: 'rates', tab: ratesTab(setting) };
    default:
      return { panel: 'handoff', tab: 'written' };
  }
}

function ratesTab(setting: string): string {
  if (/^rates\.(overrides|zones)/.test(setting)) return 'ledger';
  if (setting.startsWith('rates.budget')) return 'budget';
  return setting === 'rates.follows' ? 'guides' : 'basis';
}

function zonesTab(setting: string): string {
  if (setting.startsWith('zones.edits')) return 'hand';
  return /^zones\.(names|roles)/.test(setting) ? 'zones' : 'method';
}

function soilTab(setting: string): string {
  if (/pointColumns|pointFiles/.test(setting)) return 'points';
  if (/olumns|Files/.test(setting)) return 'table';
  if (/\.(year|depthTold|sameIds|sampleTable)/.test(setting)) return 'reading';
  return setting.startsWith('soil.decisions') ? 'aside' : 'about';
}
