import type { ZoneRate } from '../../core/rates/types.ts';
import { number, quantity, readable } from '../ui/format.ts';

/** One zone's account as plain text, to paste into a message. */
export function ledgerText(zone: ZoneRate, productName: string): string {
  const lines = [...zone.lines]
    .sort((a, b) => a.n - b.n)
    .map((line) => {
      const figures = [
        line.working === null ? '' : `${number(line.working, 1)} ${line.unit}`,
        line.carried === null ? '' : `carried ${number(line.carried, 1)} lb K2O/ac`,
      ];
      const words = [readable(line.label), readable(line.how), ...figures].filter((part) => part.trim() !== '');
      return `${String(line.n).padStart(2)}  ${words.join(' · ')}`;
    });
  const rate = zone.rate_lbPerAc === null ? 'withheld' : `${number(zone.rate_lbPerAc)} lb/ac`;
  const parts = zone.products.length > 1 ? zone.products : [];
  const each = parts.map(
    ({ product, rates_lbPerAc }) => `${product}: ${number(rates_lbPerAc.reduce((sum, pass) => sum + pass, 0))} lb/ac`,
  );
  const whole = parts.length > 1 ? 'All products' : productName;
  return [`Zone ${zone.letter}, ${quantity(zone.acres, 'area', 'US')}`, ...lines, ...each, `${whole}: ${rate}`].join(
    '\n',
  );
}
