import {
  type CropFigure,
  fromMemory,
  ipniBu,
  ipniTon,
  ipniUptake,
  nrcs,
  SOURCES,
  secondHand,
  seen,
  unrecorded,
} from './crop-figures.ts';

/** A crop and what it takes, in lb K2O per unit of yield. The figures in use come first; the others show the span in print. */
export interface Crop {
  readonly id: string;
  readonly name: string;
  readonly yieldUnit: 'bu/ac' | 'ton/ac';
  /** Yields, in that unit, outside which a goal is more likely a slip than a harvest. Ours. */
  readonly likelyYield: { readonly least: number; readonly most: number };
  /** What leaves with the plain harvest. */
  readonly harvested: string;
  /** True where the harvest is the whole plant above ground: uptake is what leaves. */
  readonly wholePlant: boolean;
  readonly chlorideSensitive: boolean;
  readonly removal: CropFigure;
  readonly otherRemovals: readonly CropFigure[];
  /** Grain and residue of the season; null where no residue figure exists: then no uptake is used, and the ledger says so. */
  readonly uptake: CropFigure | null;
  readonly otherUptakes: readonly CropFigure[];
  /** Why this figure is the one in use, where the printed ones are far apart. */
  readonly choice: string;
}

type Grain = Pick<Crop, 'id' | 'name' | 'removal' | 'otherRemovals' | 'uptake' | 'likelyYield'> & Partial<Crop>;
const from = (least: number, most: number): Crop['likelyYield'] => ({ least, most });
const grain = (crop: Grain): Crop => ({
  yieldUnit: 'bu/ac',
  harvested: 'grain',
  wholePlant: false,
  chlorideSensitive: false,
  otherUptakes: [],
  choice: '',
  ...crop,
});
const whole = (crop: Omit<Grain, 'uptake'>): Crop =>
  grain({ yieldUnit: 'ton/ac', wholePlant: true, uptake: null, ...crop });

const { ontario, pennState, triState2020 } = SOURCES;

/** Crops with their K2O figures. A figure typed in the plan goes over these. */
export const CROPS: readonly Crop[] = [
  grain({
    id: 'corn',
    name: 'Corn',
    likelyYield: from(40, 350),
    removal: seen(0.2, triState2020),
    otherRemovals: [
      seen(0.19, SOURCES.minnesota),
      seen(0.208, SOURCES.nebraska),
      seen(0.22, SOURCES.iowa),
      seen(0.23, SOURCES.illinois),
      ipniBu(4.5, 56),
      seen(0.27, SOURCES.ipni2008),
      seen(0.27, SOURCES.triState1995),
      nrcs(0.4, 56),
      seen(0.28, pennState),
      seen(0.35, SOURCES.extension),
    ],
    uptake: seen(0.78, SOURCES.bender),
    otherUptakes: [
      ipniUptake(4.5, 20, 56),
      {
        value: 1.37,
        source: `${SOURCES.ipni2008}: grain 0.27 + stover 1.1 if all is taken`,
        flag: 'worked out',
      },
    ],
    choice:
      'Grain spans 0.19 to 0.35 in print; the current regional bulletin is used. The whole plant was measured at 0.78 lb/bu on present hybrids, where grain and residue tables add up to 1.37: the measured one is used, since the other would nearly double what a short zone is given.',
  }),
  grain({
    id: 'soybean',
    name: 'Soybean',
    likelyYield: from(10, 120),
    removal: ipniBu(20, 60),
    otherRemovals: [
      seen(1.1, SOURCES.minnesota),
      fromMemory(1.15, triState2020),
      seen(1.18, SOURCES.illinois),
      nrcs(1.9, 60),
      secondHand(1.4, SOURCES.ppi),
      secondHand(1.4, SOURCES.triState1995),
    ],
    uptake: ipniUptake(20, 17, 60),
    otherUptakes: [
      seen(140 / 40, `${SOURCES.ppi2000}: 140 lb at 40 bu`),
      seen(190 / 55, `${SOURCES.ppi2000}: 190 lb at 55 bu`),
      seen(220 / 70, `${SOURCES.ppi2000}: 220 lb at 70 bu`),
    ],
    choice:
      'Whole-plant figures of 2000 run from 3.1 to 3.5 lb/bu, the tables of 2014 add up to 2.2: the later and lower is used.',
  }),
  grain({
    id: 'winter-wheat',
    name: 'Winter wheat',
    likelyYield: from(15, 180),
    removal: seen(0.25, triState2020),
    otherRemovals: [
      seen(0.28, SOURCES.illinois),
      ipniBu(4.8, 60),
      seen(0.35, ontario, 0.37),
      nrcs(0.52, 60),
      fromMemory(0.37, SOURCES.triState1995),
    ],
    uptake: ipniUptake(4.8, 20, 60),
  }),
  grain({
    id: 'spring-wheat',
    name: 'Spring wheat',
    likelyYield: from(10, 140),
    removal: ipniBu(5.5, 60),
    otherRemovals: [seen(0.28, SOURCES.illinois), seen(0.35, ontario, 0.37), nrcs(0.52, 60)],
    uptake: ipniUptake(5.5, 20, 60),
  }),
  grain({
    id: 'barley',
    name: 'Barley',
    likelyYield: from(15, 200),
    removal: ipniBu(6.7, 48),
    otherRemovals: [seen(0.23, ontario, 0.35), nrcs(0.43, 48)],
    uptake: ipniUptake(6.7, 25, 48),
  }),
  grain({
    id: 'oats',
    name: 'Oats',
    likelyYield: from(20, 220),
    removal: ipniBu(5.9, 32),
    otherRemovals: [seen(0.19, ontario, 0.2), nrcs(0.49, 32)],
    uptake: ipniUptake(5.9, 29, 32),
  }),
  grain({
    id: 'rye',
    name: 'Rye',
    likelyYield: from(15, 150),
    removal: ipniBu(5.5, 56),
    otherRemovals: [seen(0.34, ontario, 0.4), nrcs(0.49, 56)],
    uptake: ipniUptake(5.5, 27, 56),
  }),
  grain({
    id: 'sorghum',
    name: 'Grain sorghum',
    likelyYield: from(20, 220),
    removal: ipniBu(5.4, 56),
    otherRemovals: [nrcs(0.42, 56)],
    uptake: ipniUptake(5.4, 17, 56),
  }),
  grain({
    id: 'sunflower',
    name: 'Sunflower',
    likelyYield: from(0.3, 2.5),
    yieldUnit: 'ton/ac',
    removal: ipniTon(9),
    otherRemovals: [nrcs(1.11, 2000)],
    uptake: ipniUptake(9, 41, 2000),
  }),
  grain({
    id: 'canola',
    name: 'Canola',
    likelyYield: from(8, 100),
    removal: ipniBu(8, 50),
    otherRemovals: [seen(0.56, ontario, 0.67)],
    uptake: null,
  }),
  grain({
    id: 'flax',
    name: 'Flax',
    likelyYield: from(5, 60),
    removal: ipniBu(11, 56),
    otherRemovals: [nrcs(0.84, 56)],
    uptake: null,
  }),
  grain({
    id: 'dry-bean',
    name: 'Dry bean',
    likelyYield: from(5, 70),
    removal: ipniBu(15, 60),
    otherRemovals: [seen(0.83, ontario)],
    uptake: null,
  }),
  grain({
    id: 'peanut',
    name: 'Peanut',
    likelyYield: from(0.5, 4),
    yieldUnit: 'ton/ac',
    harvested: 'nuts',
    removal: ipniTon(8.5),
    otherRemovals: [],
    uptake: null,
  }),
  grain({
    id: 'millet',
    name: 'Millet',
    likelyYield: from(0.3, 3),
    yieldUnit: 'ton/ac',
    removal: ipniTon(8),
    otherRemovals: [],
    uptake: null,
  }),
  grain({
    id: 'rice',
    name: 'Rice',
    likelyYield: from(1, 7),
    yieldUnit: 'ton/ac',
    removal: ipniTon(3.6),
    otherRemovals: [],
    uptake: null,
  }),
  grain({
    id: 'cotton',
    name: 'Cotton',
    likelyYield: from(0.1, 1.5),
    yieldUnit: 'ton/ac',
    harvested: 'lint',
    removal: ipniTon(38),
    otherRemovals: [],
    uptake: null,
  }),
  grain({
    id: 'potato',
    name: 'Potato',
    likelyYield: from(5, 50),
    yieldUnit: 'ton/ac',
    harvested: 'tubers',
    chlorideSensitive: true,
    removal: ipniTon(6.5),
    otherRemovals: [],
    uptake: null,
  }),
  grain({
    id: 'sugar-beet',
    name: 'Sugar beet',
    likelyYield: from(8, 60),
    yieldUnit: 'ton/ac',
    harvested: 'roots',
    removal: ipniTon(3.7),
    otherRemovals: [unrecorded(3.4, 'a second published figure, in dispute with the first')],
    uptake: null,
    choice: 'Two published figures, 7.4 and 3.4 lb/ton, are in dispute.',
  }),
  whole({
    id: 'corn-silage',
    name: 'Corn silage',
    likelyYield: from(5, 45),
    harvested: 'silage',
    removal: seen(7.62, pennState),
    otherRemovals: [ipniTon(3.7), seen(9.2, SOURCES.nrcs)],
  }),
  whole({
    id: 'alfalfa',
    name: 'Alfalfa',
    likelyYield: from(1, 14),
    harvested: 'hay',
    removal: seen(49, triState2020),
    otherRemovals: [seen(45, SOURCES.nrcs), seen(46, pennState), ipniTon(25), seen(55, SOURCES.kentucky)],
    choice: 'The figure of the 2014 tables is per ton of dry matter, the others per ton of hay.',
  }),
  whole({
    id: 'red-clover',
    name: 'Red clover',
    likelyYield: from(0.5, 8),
    harvested: 'hay, dry matter',
    removal: ipniTon(21),
    otherRemovals: [],
  }),
  whole({
    id: 'switchgrass',
    name: 'Switchgrass',
    likelyYield: from(0.5, 12),
    harvested: 'hay, dry matter',
    removal: ipniTon(29),
    otherRemovals: [],
  }),
  whole({
    id: 'grass-hay',
    name: 'Grass hay',
    likelyYield: from(0.5, 12),
    harvested: 'hay',
    removal: seen(49, triState2020),
    otherRemovals: [
      seen(45, SOURCES.nrcs),
      seen(46, pennState),
      seen(42, `${SOURCES.ipni2014}: timothy 21 kg/t of dry matter`),
      seen(44, `${SOURCES.ipni2014}: ryegrass 22 kg/t of dry matter`),
      seen(54, `${SOURCES.ipni2014}: orchardgrass and tall fescue 27 kg/t of dry matter`),
    ],
  }),
];

/** Residue that may leave the field, lb K2O per ton of it, as printed spans: to judge a typed removal by. */
export const RESIDUES: readonly { readonly name: string; readonly figures: readonly CropFigure[] }[] = [
  { name: 'wheat straw', figures: [unrecorded(20, 'a published span', 45), ipniTon(15), nrcs(0.97, 2000)] },
  { name: 'corn stover', figures: [unrecorded(18, 'a published span', 40), ipniTon(20), nrcs(1.34, 2000)] },
  { name: 'oat straw', figures: [unrecorded(38, 'a published span', 40), ipniTon(19), nrcs(1.66, 2000)] },
  { name: 'barley straw', figures: [ipniTon(20), nrcs(1.25, 2000)] },
  { name: 'sorghum stover', figures: [ipniTon(21), nrcs(1.31, 2000)] },
  { name: 'soybean stover', figures: [ipniTon(19), nrcs(1.04, 2000)] },
  { name: 'rye straw', figures: [ipniTon(11)] },
  { name: 'rice straw', figures: [ipniTon(21)] },
  { name: 'sunflower stover', figures: [ipniTon(17)] },
  { name: 'sugar beet tops', figures: [ipniTon(10)] },
];

/** The crop of an id; null for an id that is not in the list. */
export const cropOf = (id: string): Crop | null => CROPS.find((crop) => crop.id === id) ?? null;
