import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import type { FollowingCrop } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { NumberField, SelectField } from '../ui/Fields.tsx';
import { shortNumber } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';

const MOST_FOLLOWING = 3;

/** Crops after this season's: they draw on the soil in the years ahead, and the rotation then starts over. */
export function Rotation({ plan }: { readonly plan: Plan }): ReactElement {
  const { thenCrops } = plan.rates;
  const set = (label: string, next: readonly FollowingCrop[]): void =>
    editPart('rates', label, { thenCrops: [...next] });
  const change = (index: number, label: string, patch: Partial<FollowingCrop>): void =>
    set(
      label,
      thenCrops.map((one, i) => (i === index ? { ...one, ...patch } : one)),
    );
  return (
    <Fold
      name="rotation"
      title="Crops after this one"
      says={
        thenCrops.length === 0
          ? 'the same crop each year'
          : thenCrops.map(({ crop }) => CROPS.find(({ id }) => id === crop)?.name.toLowerCase() ?? crop).join(', ')
      }
    >
      {thenCrops.map((one, index) => {
        const crop = CROPS.find(({ id }) => id === one.crop);
        const season = `season ${index + 2}`;
        return (
          // The place in the rotation is what a crop is known by: the same one may come twice.
          // biome-ignore lint/suspicious/noArrayIndexKey: see above
          <fieldset className="sub-fields" key={index}>
            <legend>Season {index + 2}</legend>
            <SelectField
              label="Crop"
              setting={`rates.thenCrops.${index}.crop`}
              value={one.crop}
              options={CROPS.map(({ id, name }) => ({ value: id, label: name }))}
              onCommit={(id) =>
                change(index, `${season}: ${CROPS.find((listed) => listed.id === id)?.name.toLowerCase() ?? id}`, {
                  crop: id,
                  removal_lbK2OPerUnit: null,
                  uptake_lbK2OPerUnit: null,
                })
              }
            />
            <NumberField
              label="Yield goal"
              setting={`rates.thenCrops.${index}.yieldGoal`}
              measure="plain"
              unit={crop?.yieldUnit ?? 'bu/ac'}
              min={0.1}
              value={one.yieldGoal}
              onCommit={(yieldGoal) => change(index, `${season}: ${shortNumber(yieldGoal)}`, { yieldGoal })}
            />
            <SelectField
              label="What leaves the field"
              setting={`rates.thenCrops.${index}.harvest`}
              value={one.harvest}
              options={[
                { value: 'grain', label: crop?.harvested ?? 'grain' },
                { value: 'grain and residue', label: `${crop?.harvested ?? 'grain'} and residue` },
              ]}
              onCommit={(harvest) => change(index, `${season}: ${harvest} leaves`, { harvest })}
            />
            {one.harvest === 'grain and residue' && (
              <ResidueShare
                setting={`rates.thenCrops.${index}.residueShare_pct`}
                value={one.residueShare_pct}
                onCommit={(share) =>
                  change(index, `${season}: ${shortNumber(share)} % of the residue leaves`, { residueShare_pct: share })
                }
              />
            )}
            <div className="hand-acts">
              <button
                type="button"
                className="btn s"
                onClick={() =>
                  set(
                    `no crop in ${season}`,
                    thenCrops.filter((_, i) => i !== index),
                  )
                }
              >
                Take season {index + 2} out
              </button>
            </div>
          </fieldset>
        );
      })}
      {thenCrops.length < MOST_FOLLOWING && (
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            data-setting="rates.thenCrops"
            onClick={() => set(`a crop in season ${thenCrops.length + 2}`, [...thenCrops, nextCrop(plan)])}
          >
            Add season {thenCrops.length + 2}
          </button>
        </div>
      )}
    </Fold>
  );
}

/** Another season begins as a copy of the one before it, to be changed. */
function nextCrop({ rates }: Plan): FollowingCrop {
  const last = rates.thenCrops.at(-1);
  if (last) return { ...last };
  return {
    crop: rates.crop ?? CROPS[0]?.id ?? 'corn',
    yieldGoal: rates.yieldGoal ?? 1,
    harvest: rates.harvest,
    residueShare_pct: rates.residueShare_pct,
    removal_lbK2OPerUnit: rates.removal_lbK2OPerUnit,
    uptake_lbK2OPerUnit: rates.uptake_lbK2OPerUnit,
  };
}

interface ResidueShareProps {
  readonly setting: string;
  readonly value: number;
  readonly onCommit: (share_pct: number) => void;
}

/** How much of the straw or stover is taken off. */
export const ResidueShare = ({ setting, value, onCommit }: ResidueShareProps): ReactElement => (
  <NumberField
    label="Part of the residue that leaves"
    hint="what stays behind gives its K back"
    setting={setting}
    measure="percent"
    min={0}
    max={100}
    value={value}
    onCommit={onCommit}
  />
);

/** Yield goals from a layer of the user's own, one a zone. Shown where there is such a layer, or a plan that wants one. */
export function YieldLayer({ plan }: { readonly plan: Plan }): ReactElement | null {
  const own = useResults((results) => results.out?.surfaces?.own) ?? [];
  const { yieldLayer } = plan.rates;
  if (own.length === 0 && yieldLayer === null) return null;
  const unread = yieldLayer !== null && !own.some(({ id }) => id === yieldLayer.layer);
  return (
    <>
      <SelectField
        label="Yield goal of each zone"
        setting="rates.yieldLayer"
        value={yieldLayer?.layer ?? ''}
        options={[
          { value: '', label: 'the goal above' },
          ...own.map(({ id, name }) => ({ value: id as string, label: `mean of ${name}` })),
          ...(unread ? [{ value: yieldLayer.layer, label: 'a layer that is not there' }] : []),
        ]}
        onCommit={(layer) =>
          editPart('rates', layer === '' ? 'one yield goal for all zones' : 'yield goals from a layer', {
            yieldLayer: layer === '' ? null : { layer, factor: yieldLayer?.factor ?? 1 },
          })
        }
      />
      {yieldLayer && (
        <NumberField
          label="Times"
          hint="1.05 asks for 5 % more than the layer has"
          setting="rates.yieldLayer.factor"
          measure="plain"
          min={0.01}
          max={10}
          value={yieldLayer.factor}
          onCommit={(factor) =>
            editPart('rates', `yield layer times ${shortNumber(factor)}`, { yieldLayer: { ...yieldLayer, factor } })
          }
        />
      )}
    </>
  );
}
