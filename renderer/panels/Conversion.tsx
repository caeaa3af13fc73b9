import { type ReactElement, useState } from 'react';
import { PUBLISHED_RATIOS, type PublishedRatio } from '../../core/soil/extraction.ts';
import type { SoilSettings } from '../../core/soil/settings.ts';
import { editPart } from '../store/document.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { shortNumber } from '../ui/format.ts';

type Chosen = SoilSettings['conversion'];
type To = NonNullable<Chosen>['to'];

const TARGETS = [
  { value: 'none', label: 'left as the lab gives it' },
  { value: 'Mehlich-3', label: 'turned into Mehlich-3' },
  { value: 'ammonium acetate', label: 'turned into ammonium acetate' },
] as const satisfies readonly { value: 'none' | To; label: string }[];

/** K of one extraction turned into what another would give: a person's choice, with its factor and the region it was found in. */
export function Conversion({ soil }: { readonly soil: SoilSettings }): ReactElement {
  const [asked, setAsked] = useState<To | null>(null);
  const { conversion, extractant } = soil;
  const to = conversion?.to ?? asked;
  return (
    <>
      <SelectField
        label="K is"
        setting="soil.conversion"
        value={to ?? 'none'}
        options={TARGETS}
        onCommit={(target) => {
          setAsked(target === 'none' ? null : target);
          if (conversion) editPart('soil', 'K as the lab gives it', { conversion: null });
        }}
      />
      {to !== null && <Ratio key={to} from={extractant} to={to} chosen={conversion} />}
    </>
  );
}

function Ratio(props: {
  readonly from: SoilSettings['extractant'];
  readonly to: To;
  readonly chosen: Chosen;
}): ReactElement {
  const { from, to, chosen } = props;
  const [factor, setFactor] = useState<number | null>(chosen?.factor ?? null);
  const [region, setRegion] = useState(chosen?.region ?? '');
  const give = (nextFactor: number | null, nextRegion: string): void => {
    setFactor(nextFactor);
    setRegion(nextRegion);
    const named = nextRegion.trim();
    if (nextFactor === null || named === '') return;
    editPart('soil', `K into ${to} × ${shortNumber(nextFactor)}, ${named}`, {
      conversion: { to, factor: nextFactor, region: named },
    });
  };
  const ratios = PUBLISHED_RATIOS.flatMap((ratio) => fitting(ratio, from, to));
  return (
    <div className="conversion">
      <NumberField
        label="Factor"
        hint={`ppm by ${to} for each ppm of the lab’s`}
        measure="plain"
        min={0.3}
        max={3}
        value={factor}
        blank="type it"
        onCommit={(value) => give(value, region)}
      />
      <TextField
        label="Found in"
        hint="such a ratio holds for the soils it was found on"
        value={region}
        blank="region"
        onCommit={(text) => give(factor, text)}
      />
      {(factor === null || region.trim() === '') && (
        <p className="small care">Until both are told, K stays as the lab gives it.</p>
      )}
      {ratios.length > 0 && (
        <ul className="ratios small" aria-label="Ratios in print">
          {ratios.map((ratio) => (
            <li key={`${ratio.factor} ${ratio.region}`}>
              <button type="button" className="btn s" onClick={() => give(ratio.factor, ratio.region ?? region)}>
                × {shortNumber(ratio.factor)}
              </button>
              <span className="ink2">
                {ratio.region === null ? ratio.source : `${ratio.region}, ${ratio.source}`}
                {ratio.turned && ', turned round'}
              </span>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** A printed ratio for this direction: as printed, or its reciprocal where it is printed the other way about. */
function fitting(
  ratio: PublishedRatio,
  from: SoilSettings['extractant'],
  to: To,
): readonly (PublishedRatio & { readonly turned: boolean })[] {
  if (ratio.to === to && (from === ratio.from || from === 'not told')) return [{ ...ratio, turned: false }];
  if (ratio.from === to && (from === ratio.to || from === 'not told'))
    return [{ ...ratio, factor: Number((1 / ratio.factor).toPrecision(3)), turned: true }];
  return [];
}
