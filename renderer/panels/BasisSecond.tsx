import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { PRODUCTS, SALTS } from '../../core/rates/products.ts';
import type { ProductChoice, SecondProduct, SingleProduct } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { number, quantity, shortNumber } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Fold } from './BasisFold.tsx';
import { secondWords } from './basis-words.ts';
import { WherePicker } from './WherePicker.tsx';

const MOST_PARTS = 6;

/** A product of the list as the plan keeps it: what it holds by its grade, the price still to be told. */
function listed(name: string): ProductChoice | null {
  const one = PRODUCTS.find((product) => product.name === name);
  if (!one) return null;
  const { n_pct, p2o5_pct, k2o_pct, s_pct, mg_pct, salt } = one;
  return {
    name,
    n_pct,
    p2o5_pct,
    k2o_pct,
    s_pct,
    mg_pct,
    cl_pct: null,
    salt,
    price_perTon: 0,
    density_lbPerFt3: null,
    blend: [],
  };
}

/** A second product beside the first: sulfate where sulfur is short, say. It has a rate column of its own in the files. */
export function Second({ plan }: { readonly plan: Plan }): ReactElement {
  const { second } = plan.rates;
  const units = useView((view) => view.units);
  const set = (label: string, next: SecondProduct | null): void => editPart('rates', label, { second: next });
  if (!second)
    return (
      <Fold name="second" title="A second product" says="none">
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            data-setting="rates.second"
            onClick={() => {
              const product = listed('0-0-50');
              if (product)
                set('a second product', { product, gives: { by: 'share of K2O', share_pct: 25 }, where: null });
            }}
          >
            Add a second product
          </button>
        </div>
      </Fold>
    );
  const { product, gives } = second;
  return (
    <Fold name="second" title="A second product" says={secondWords(second)}>
      <SelectField
        label="Product"
        setting="rates.second.product"
        value={PRODUCTS.some(({ name }) => name === product.name) ? product.name : 'own'}
        options={[
          ...PRODUCTS.map((one) => ({ value: one.name, label: `${one.name} ${SALTS[one.salt].name}` })),
          ...(PRODUCTS.some(({ name }) => name === product.name)
            ? []
            : [{ value: 'own', label: `${product.name}, as typed` }]),
        ]}
        onCommit={(name) => {
          const chosen = listed(name);
          if (chosen)
            set(`second product ${name}`, { ...second, product: { ...chosen, price_perTon: product.price_perTon } });
        }}
      />
      <NumberField
        label="Price"
        setting="rates.second.product.price_perTon"
        measure="pricePerTon"
        min={0}
        value={product.price_perTon}
        onCommit={(price_perTon) =>
          set(`second product at ${quantity(price_perTon, 'pricePerTon', units)}`, {
            ...second,
            product: { ...product, price_perTon },
          })
        }
      />
      {product.price_perTon === 0 && (
        <Note severity="caution">No price is told for {product.name}: the cost leaves it out.</Note>
      )}
      <SelectField
        label="How much of it"
        setting="rates.second.gives"
        value={gives.by}
        options={[
          { value: 'share of K2O', label: 'a share of the K₂O' },
          { value: 'sulfur', label: 'what brings so much sulfur' },
          { value: 'magnesium', label: 'what brings so much magnesium' },
        ]}
        onCommit={(by) =>
          set(`second product by ${by}`, {
            ...second,
            gives:
              by === 'share of K2O'
                ? { by, share_pct: 25 }
                : by === 'sulfur'
                  ? { by, s_lbPerAc: 20 }
                  : { by, mg_lbPerAc: 20 },
          })
        }
      />
      {gives.by === 'share of K2O' && (
        <NumberField
          label="Share of the K₂O"
          setting="rates.second.gives.share_pct"
          measure="percent"
          min={0}
          max={100}
          value={gives.share_pct}
          onCommit={(share_pct) =>
            set(`second product ${shortNumber(share_pct)} % of K₂O`, { ...second, gives: { by: gives.by, share_pct } })
          }
        />
      )}
      {gives.by === 'sulfur' && (
        <NumberField
          label="Sulfur"
          setting="rates.second.gives.s_lbPerAc"
          measure="rate"
          min={0.1}
          value={gives.s_lbPerAc}
          onCommit={(s_lbPerAc) =>
            set(`${quantity(s_lbPerAc, 'rate', units)} of sulfur`, { ...second, gives: { by: gives.by, s_lbPerAc } })
          }
        />
      )}
      {gives.by === 'magnesium' && (
        <NumberField
          label="Magnesium"
          setting="rates.second.gives.mg_lbPerAc"
          measure="rate"
          min={0.1}
          value={gives.mg_lbPerAc}
          onCommit={(mg_lbPerAc) =>
            set(`${quantity(mg_lbPerAc, 'rate', units)} of magnesium`, {
              ...second,
              gives: { by: gives.by, mg_lbPerAc },
            })
          }
        />
      )}
      <WherePicker
        plan={plan}
        setting="rates.second.where"
        value={second.where}
        onCommit={(where) => set('where the second product goes', { ...second, where })}
      />
      <div className="hand-acts">
        <button type="button" className="btn s" onClick={() => set('one product only', null)}>
          One product only
        </button>
      </div>
    </Fold>
  );
}

/** Parts of a blend by weight. With parts, what the product holds and costs follows from them. */
export function Blend({ plan }: { readonly plan: Plan }): ReactElement {
  const { product } = plan.rates;
  const { blend } = product;
  const total = blend.reduce((all, part) => all + part.share_pct, 0);
  const set = (label: string, next: ProductChoice['blend']): void =>
    editPart('rates', label, { product: { ...product, blend: next } });
  const change = (index: number, label: string, patch: Partial<SingleProduct>, share_pct?: number): void =>
    set(
      label,
      blend.map((part, i) =>
        i === index ? { product: { ...part.product, ...patch }, share_pct: share_pct ?? part.share_pct } : part,
      ),
    );
  return (
    <Fold
      name="blend"
      title="Blend"
      says={blend.length === 0 ? 'a straight product' : `${shortNumber(total, 2)} % of 100 % by weight`}
    >
      {blend.map((part, index) => (
        // Parts may be alike: their place tells them apart.
        // biome-ignore lint/suspicious/noArrayIndexKey: see above
        <fieldset className="sub-fields" key={index}>
          <legend>{part.product.name}</legend>
          <TextField
            label="Part"
            setting={`rates.product.blend.${index}`}
            value={part.product.name}
            judge={(text) => (text.trim() === '' ? 'A part needs a name.' : null)}
            onCommit={(name) => change(index, `blend part ${name.trim()}`, { name: name.trim() })}
          />
          <div className="two-columns">
            <NumberField
              label="By weight"
              measure="percent"
              min={0}
              max={100}
              value={part.share_pct}
              onCommit={(share) =>
                change(index, `${part.product.name}: ${shortNumber(share)} % of the blend`, {}, share)
              }
            />
            <NumberField
              label="Price"
              measure="pricePerTon"
              min={0}
              value={part.product.price_perTon}
              onCommit={(price_perTon) => change(index, `${part.product.name}: price`, { price_perTon })}
            />
            {ANALYSIS.map(([key, label]) => (
              <NumberField
                key={key}
                label={label}
                measure="percent"
                min={0}
                max={100}
                value={part.product[key]}
                onCommit={(value) =>
                  change(index, `${part.product.name}: ${label} ${shortNumber(value)} %`, { [key]: value })
                }
              />
            ))}
            <SelectField
              label="K salt in it"
              value={part.product.salt ?? 'none'}
              options={[
                { value: 'none', label: 'none' },
                ...Object.entries(SALTS).map(([value, salt]) => ({ value, label: salt.name })),
              ]}
              onCommit={(salt) =>
                change(index, `${part.product.name}: ${salt}`, {
                  salt: salt === 'none' ? null : (salt as NonNullable<SingleProduct['salt']>), // the options are the salts' own keys
                })
              }
            />
          </div>
          <div className="hand-acts">
            <button
              type="button"
              className="btn s"
              onClick={() =>
                set(
                  `${part.product.name} out of the blend`,
                  blend.filter((_, i) => i !== index),
                )
              }
            >
              Take {part.product.name} out
            </button>
          </div>
        </fieldset>
      ))}
      {blend.length < MOST_PARTS && (
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            data-setting="rates.product.blend"
            onClick={() => set('a part in the blend', [...blend, nextPart(product, blend.length, total)])}
          >
            {blend.length === 0 ? 'Make it a blend' : 'Add a part'}
          </button>
        </div>
      )}
      {blend.length > 0 && Math.abs(total - 100) > 0.005 && (
        <p className="small field-error">The parts add up to {number(total, 1)} %, and must be 100 %.</p>
      )}
    </Fold>
  );
}

const ANALYSIS = [
  ['n_pct', 'N'],
  ['p2o5_pct', 'P₂O₅'],
  ['k2o_pct', 'K₂O'],
  ['s_pct', 'S'],
  ['mg_pct', 'Mg'],
] as const;

/** The first part is the straight product itself, the next ones take what is left of 100 %. */
function nextPart(product: ProductChoice, count: number, total: number): ProductChoice['blend'][number] {
  if (count === 0) {
    const { name, n_pct, p2o5_pct, k2o_pct, s_pct, mg_pct, cl_pct, salt, price_perTon } = product;
    return { product: { name, n_pct, p2o5_pct, k2o_pct, s_pct, mg_pct, cl_pct, salt, price_perTon }, share_pct: 100 };
  }
  const share_pct = Math.max(0, 100 - total);
  const empty = { n_pct: 0, p2o5_pct: 0, k2o_pct: 0, s_pct: 0, mg_pct: 0, cl_pct: null, salt: null, price_perTon: 0 };
  return { product: { name: `Part ${count + 1}`, ...empty }, share_pct };
}

/** Weight of the product by volume, as somebody weighed it: it differs by size and load, so it is asked and never assumed. */
export function Density({ plan }: { readonly plan: Plan }): ReactElement {
  const { product } = plan.rates;
  return (
    <NumberField
      label="Weighs"
      hint="as weighed from this load; needed for volumes only"
      setting="rates.product.density_lbPerFt3"
      measure="plain"
      unit="lb/ft³"
      min={20}
      max={120}
      value={product.density_lbPerFt3}
      blank="not weighed"
      onCommit={(density_lbPerFt3) =>
        editPart('rates', `weighs ${shortNumber(density_lbPerFt3)} lb/ft³`, {
          product: { ...product, density_lbPerFt3 },
        })
      }
      onBlank={() => editPart('rates', 'density not weighed', { product: { ...product, density_lbPerFt3: null } })}
    />
  );
}
