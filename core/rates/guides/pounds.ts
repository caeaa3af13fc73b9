import { figure } from '../text.ts';

/** lb/ac of a ppm where a guide goes by pounds of the plow layer. */
const POUNDS_PER_PPM = 2;
/** Pounds this near to twice the ppm are the same in whole numbers. */
const SLACK = 0.01;

/** A caution where the plan's pounds an acre are not twice the ppm; none where they are. */
export const poundsCaution = (supply_factor: number): readonly string[] =>
  Math.abs(supply_factor - POUNDS_PER_PPM) <= SLACK
    ? []
    : [
        `It goes by lb/ac of the plow layer, commonly twice the ppm; by the plan's depth and convention one ppm is ${figure(supply_factor, 2)} lb/ac.`,
      ];
