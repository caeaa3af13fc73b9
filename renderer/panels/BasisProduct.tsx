import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { PRODUCTS, SALTS, type Salt } from '../../core/rates/products.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { money, number, quantity, shortNumber, unitOf } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';
import { Density } from './BasisSecond.tsx';
import { productWords } from './basis-words.ts';

type Product = Plan['rates']['product'];

/** Grade, salt and price of what is spread. */
export function ProductFields({ plan }: { readonly plan: Plan }): ReactElement {
  const { product } = plan.rates;
  const change = (label: string, patch: Partial<Product>): void =>
    editPart('rates', label, { product: { ...product, ...patch } });
  const listed = PRODUCTS.find((one) => one.name === product.name && one.k2o_pct === product.k2o_pct);
  const salt = SALTS[product.salt];
  const units = useView((view) => view.units);
  return (
    <Fold name="product" title="Product" says={productWords(product, units)}>
      {listed && <p className="small ink3">{listed.source}</p>}
      <SelectField
        label="Product"
        setting="rates.product"
        value={listed?.name ?? 'own'}
        options={[
          ...PRODUCTS.map((one) => ({
            value: one.name,
            label: `${one.name} ${SALTS[one.salt].name}${one.carries === '' ? '' : `, ${one.carries}`}`,
          })),
          ...(listed ? [] : [{ value: 'own', label: `${product.name}, as typed` }]),
        ]}
        onCommit={(name) => {
          const chosen = PRODUCTS.find((one) => one.name === name);
          if (!chosen) return;
          const { n_pct, p2o5_pct, k2o_pct, s_pct, mg_pct, salt: kind } = chosen;
          change(`product ${name}`, {
            name,
            n_pct,
            p2o5_pct,
            k2o_pct,
            s_pct,
            mg_pct,
            cl_pct: null,
            salt: kind,
            blend: [],
          });
        }}
      />
      <TextField
        label="Name"
        setting="rates.product.name"
        value={product.name}
        judge={(text) => (text.trim() === '' ? 'A product needs a name.' : null)}
        onCommit={(name) => change(`product ${name.trim()}`, { name: name.trim() })}
      />
      <div className="two-columns">
        <NumberField
          label="K₂O"
          setting="rates.product.k2o_pct"
          measure="percent"
          min={0.1}
          max={Math.floor(salt.mostK2O_pct * 100) / 100}
          value={product.k2o_pct}
          onCommit={(k2o_pct) => change(`K₂O ${shortNumber(k2o_pct)} %`, { k2o_pct })}
        />
        <SelectField
          label="Salt"
          setting="rates.product.salt"
          value={product.salt}
          options={(Object.keys(SALTS) as Salt[]).map((value) => ({ value, label: value }))}
          onCommit={(chosen) => change(`salt: ${chosen}`, { salt: chosen })}
        />
        <NumberField
          label="N"
          setting="rates.product.n_pct"
          measure="percent"
          min={0}
          max={100}
          value={product.n_pct}
          onCommit={(n_pct) => change(`N ${shortNumber(n_pct)} %`, { n_pct })}
        />
        <NumberField
          label="P₂O₅"
          setting="rates.product.p2o5_pct"
          measure="percent"
          min={0}
          max={100}
          value={product.p2o5_pct}
          onCommit={(p2o5_pct) => change(`P₂O₅ ${shortNumber(p2o5_pct)} %`, { p2o5_pct })}
        />
        <NumberField
          label="S"
          setting="rates.product.s_pct"
          measure="percent"
          min={0}
          max={100}
          value={product.s_pct}
          onCommit={(s_pct) => change(`S ${shortNumber(s_pct)} %`, { s_pct })}
        />
        <NumberField
          label="Mg"
          setting="rates.product.mg_pct"
          measure="percent"
          min={0}
          max={100}
          value={product.mg_pct}
          onCommit={(mg_pct) => change(`Mg ${shortNumber(mg_pct)} %`, { mg_pct })}
        />
        <NumberField
          label="Chloride"
          setting="rates.product.cl_pct"
          measure="percent"
          min={0}
          max={100}
          value={product.cl_pct}
          blank={`${shortNumber(salt.cl_pct)}, the salt’s`}
          onCommit={(cl_pct) => change(`chloride ${shortNumber(cl_pct)} %`, { cl_pct })}
          onBlank={() => change('chloride as the salt’s', { cl_pct: null })}
        />
      </div>
      <Density plan={plan} />
      <p className="small ink3">
        {salt.name}: at most {number(salt.mostK2O_pct, 1)} % K₂O by chemistry
        {salt.cl_pct > 0 ? `, about ${number(salt.cl_pct)} % chloride` : ', no chloride'}.
      </p>
    </Fold>
  );
}

/** Prices. Without a crop price nothing is said of returns. */
export function Money({ plan }: { readonly plan: Plan }): ReactElement {
  const { product, charge_perAcPerPass, cropPrice_perUnit, crop } = plan.rates;
  const units = useView((view) => view.units);
  const each = CROPS.find((one) => one.id === crop)?.yieldUnit.split('/')[0] ?? 'bu';
  return (
    <Fold
      name="money"
      title="Money"
      says={`${quantity(product.price_perTon, 'pricePerTon', units)}, ${quantity(charge_perAcPerPass, 'moneyPerArea', units)} a pass, crop ${cropPrice_perUnit === null ? 'not told' : money(cropPrice_perUnit, 2)}`}
    >
      <NumberField
        label="Price of the product"
        setting="rates.product.price_perTon"
        measure="pricePerTon"
        min={0}
        value={product.price_perTon}
        onCommit={(price_perTon) =>
          editPart('rates', `price ${quantity(price_perTon, 'pricePerTon', units)}`, {
            product: { ...product, price_perTon },
          })
        }
      />
      <NumberField
        label="Charge a pass"
        setting="rates.charge_perAcPerPass"
        measure="moneyPerArea"
        unit={unitOf('moneyPerArea', units)}
        min={0}
        value={charge_perAcPerPass}
        onCommit={(charge) =>
          editPart('rates', `charge ${quantity(charge, 'moneyPerArea', units)}`, { charge_perAcPerPass: charge })
        }
      />
      <NumberField
        label="Price of the crop"
        setting="rates.cropPrice_perUnit"
        measure="plain"
        unit={`$/${each}`}
        min={0.01}
        value={cropPrice_perUnit}
        blank="not told"
        onCommit={(price) => editPart('rates', `crop price ${money(price, 2)}`, { cropPrice_perUnit: price })}
        onBlank={() => editPart('rates', 'no crop price', { cropPrice_perUnit: null })}
      />
    </Fold>
  );
}
