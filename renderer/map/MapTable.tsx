import type { ReactElement } from 'react';
import { toAcres } from '../../core/base/units.ts';
import { area_m2 } from '../../core/geo/area.ts';
import { figure, number, unitOf } from '../ui/format.ts';
import type { OpenedOnMap } from './opened.ts';
import type { FieldMapProps } from './props.ts';

type MapTableProps = Pick<
  FieldMapProps,
  | 'out'
  | 'units'
  | 'productName'
  | 'selectedZone'
  | 'onSelectZone'
  | 'litSamples'
  | 'onSelectSample'
  | 'areas'
  | 'opened'
>;

/** All that the map tells, as tables: the zones where there are any, else the samples; then the areas that are drawn, and the rates of an opened file. */
export function MapTable(props: MapTableProps): ReactElement {
  const { out, areas, units, opened } = props;
  const main = out.zones ? <ZonesTable {...props} /> : out.soil ? <SamplesTable {...props} /> : null;
  return (
    <>
      {main ??
        (opened ? null : (
          <p className="map-table-none">
            {out.field
              ? `The field has ${figure(out.field.spreadable_ac, 'area', units)} ${unitOf('area', units)} to be spread. Samples and zones are listed here once there are any.`
              : 'No field has been read.'}
          </p>
        ))}
      {opened && <OpenedTable opened={opened} units={units} />}
      {areas.length > 0 && <AreasTable areas={areas} units={units} />}
    </>
  );
}

/** Ground with a history of its own, as far as the map shows it. */
const AreasTable = ({ areas, units }: Pick<MapTableProps, 'areas' | 'units'>): ReactElement => (
  <table className="table map-table">
    <caption className="unseen">Areas with a history of their own</caption>
    <thead>
      <tr>
        <th scope="col">Area</th>
        <th scope="col" className="num">
          {unitOf('area', units)}
        </th>
      </tr>
    </thead>
    <tbody>
      {areas.map(({ id, name, polygons, chosen }) => (
        <tr key={id} className={chosen ? 'chosen' : undefined}>
          <th scope="row">{name}</th>
          <td className="num">{figure(toAcres(area_m2(polygons)), 'area', units)}</td>
        </tr>
      ))}
    </tbody>
  </table>
);

function ZonesTable({ out, units, productName, selectedZone, onSelectZone }: MapTableProps): ReactElement {
  const rateOf = new Map(out.rates?.zones.map((zone) => [zone.key, zone.rate_lbPerAc]));
  return (
    <table className="table map-table">
      <caption className="unseen">Zones of the field</caption>
      <thead>
        <tr>
          <th scope="col">Zone</th>
          <th scope="col" className="num">
            {unitOf('area', units)}
          </th>
          <th scope="col" className="num">
            K, ppm
          </th>
          <th scope="col" className="num">
            K, %
          </th>
          <th scope="col" className="num">
            CEC
          </th>
          <th scope="col" className="num">
            {productName}, {unitOf('rate', units)}
          </th>
        </tr>
      </thead>
      <tbody>
        {out.zones?.zones.map((zone) => {
          const rate = rateOf.get(zone.key);
          return (
            <tr key={zone.key} className={zone.key === selectedZone ? 'chosen' : undefined}>
              <th scope="row">
                <button
                  type="button"
                  className="pick"
                  aria-pressed={zone.key === selectedZone}
                  onClick={() => onSelectZone(zone.key === selectedZone ? null : zone.key)}
                >
                  <span className="letter">{zone.letter}</span>
                  <span className="map-table-what">{zone.what}</span>
                </button>
              </th>
              <td className="num">{figure(zone.acres, 'area', units)}</td>
              <td className="num">{number(zone.stats.k_ppm?.mean)}</td>
              <td className="num">{number(zone.stats.kSat_pct?.mean, 1)}</td>
              <td className="num">{number(zone.stats.cec_meq?.mean, 1)}</td>
              <td className="num">{rate === null ? 'withheld' : figure(rate, 'rate', units)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function SamplesTable({ out, litSamples, onSelectSample }: MapTableProps): ReactElement {
  return (
    <table className="table map-table">
      <caption className="unseen">Samples kept</caption>
      <thead>
        <tr>
          <th scope="col">Sample</th>
          <th scope="col" className="num">
            K, ppm
          </th>
          <th scope="col" className="num">
            K, %
          </th>
          <th scope="col" className="num">
            CEC
          </th>
        </tr>
      </thead>
      <tbody>
        {out.soil?.samples.map((sample) => (
          <tr key={sample.id} className={litSamples.has(sample.id) ? 'chosen' : undefined}>
            <th scope="row">
              <button
                type="button"
                className="pick"
                aria-pressed={litSamples.has(sample.id)}
                onClick={() => onSelectSample(litSamples.has(sample.id) ? null : sample.id)}
              >
                {sample.id}
              </button>
            </th>
            <td className="num">{number(sample.k_ppm)}</td>
            <td className="num">{number(sample.saturation.k_pct, 1)}</td>
            <td className="num">{number(sample.cec_meq, 1)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** More rates than these are counted and not listed. */
const MOST_RATES = 100;

function OpenedTable({
  opened,
  units,
}: {
  readonly opened: OpenedOnMap;
  readonly units: FieldMapProps['units'];
}): ReactElement {
  const { name, rates } = opened;
  return (
    <table className="table map-table">
      <caption>
        Rates of {name} as opened
        {rates.length > MOST_RATES ? `, the lowest ${MOST_RATES} of ${number(rates.length)}` : ''}
      </caption>
      <thead>
        <tr>
          <th scope="col">Rate, {unitOf('rate', units)}</th>
          <th scope="col" className="num">
            records
          </th>
          <th scope="col" className="num">
            {unitOf('area', units)}
          </th>
        </tr>
      </thead>
      <tbody>
        {rates.slice(0, MOST_RATES).map((rate) => (
          <tr key={rate.asWritten}>
            <th scope="row">{figure(rate.rate_lbPerAc, 'rate', units)}</th>
            <td className="num">{number(rate.records)}</td>
            <td className="num">{figure(rate.acres, 'area', units)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
