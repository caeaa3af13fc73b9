/** Two sentences that stand wherever a saturation target does. */
export const SATURATION_STATEMENT =
  'Saturation targets are a practice without yield calibration in the reviews: within the ranges found in soils, the ratios of the bases do not control yield (Kopittke and Menzies 2007, Soil Science Society of America Journal 71:259-265; Chaganti and Culman 2017, Crop, Forage and Turfgrass Management, doi 10.2134/cftm2016.10.0072). Both readings are therefore shown with the rate that each alone would give, and the one by ppm is never hidden.';

/** Sentences that stand beside every plan's rates. */
export const ALWAYS: readonly string[] = [
  SATURATION_STATEMENT,
  'These rates support a decision; they do not make it, and whoever orders the spreading answers for it.',
  'A soil test moves with season, moisture and lab: K by ammonium acetate has moved by up to 50 % within a season (ASA meeting paper 66236), so sample at the same time of year and keep to one lab.',
  "The local extension bulletin, the nutrient-management rules and the product's label go before this plan; ask a licensed or certified adviser.",
  'Frozen or snow-covered ground, slopes and ground beside water lose what is spread on them: flat ground under residue at most, and never with a product that holds P (Penn State Extension 2018).',
  'Forage rich in K can bring grass tetany on livestock where this ground is grazed or cut for feed: K / (Ca + Mg) of the forage by equivalents above 2.2 is a risk (Manitoba note on data of 1957).',
  'Whoever spreads minds dust, the spinner and the road, and has the pattern tested: a coefficient of variation to 15 % is accepted (second-hand).',
];
