import { caution, fail, note, ok, type Place, type Problem, type Result, stop } from '../base/problem.ts';
import { toAcres } from '../base/units.ts';
import { area_m2 } from './area.ts';
import { difference, evenOdd, union } from './clip.ts';
import { type Contact, findContacts } from './contacts.kernel.ts';
import { type FlatRing, flatRing, isInside } from './nest.ts';
import { signedArea_deg2, snap8, UNITS_PER_DEG, wound } from './ring.ts';
import { checkPlaces, tidyRing } from './tidy.ts';
import type { LngLat, MultiPolygon, Ring } from './types.ts';

/**
 * Polygons as a file or a hand gave them, made sound, or the reasons why they cannot be.
 *
 * Each polygon is its outer ring and then its holes, open or closed, wound either way. Positions are snapped to 8
 * decimals (about 1 mm), repeats and spikes go, rings are closed and wound per RFC 7946, and each hole is given to the
 * part that contains it. Rings that touch themselves are cut apart there; overlapping or adjoining parts are melted.
 *
 * Stops: `geo-no-position`, `geo-not-a-number`, `geo-outside-degrees`, `geo-self-crossing` (with `at.lngLat`),
 * `geo-no-area` where nothing is left. Cautions: `geo-ring-no-area`, `geo-ring-touches-itself`, `geo-parts-overlap`,
 * `geo-hole-outside`, `geo-hole-crosses-edge`, `geo-holes-overlap`, `geo-hole-in-hole`. Notes: `geo-spike`,
 * `geo-parts-joined`, `geo-hole-moved`. Cost: about linear in the positions, square in the number of rings.
 */
export function cleanPolygons(polygons: readonly (readonly (readonly LngLat[])[])[], at: Place): Result<MultiPolygon> {
  const misplaced = checkPlaces(polygons, at);
  if (misplaced) return fail(misplaced);
  const problems: Problem[] = [];
  const rings = readRings(polygons, at, problems);
  if (!rings.some(({ hole }) => !hole)) {
    const remedy = 'Check that the file holds the outline of the field as a polygon.';
    return fail(...problems, stop('geo-no-area', 'The polygon encloses no ground.', remedy, at));
  }
  const contacts = findContacts(rings.map(({ units }) => units));
  const crossings = rings.flatMap((_, index) => {
    const own = contacts.filter(({ kind, ringA, ringB }) => kind === 'cross' && ringA === index && ringB === index);
    return own[0] ? [crossing(own[0], own.length, at)] : [];
  });
  if (crossings.length > 0) return fail(...problems, ...crossings);

  const parts = giveHoles(rings, contacts, at, problems);
  const plain = contacts.length === 0;
  const built = plain ? ok(parts.map(plainPart)) : rebuild(parts, contacts, at, problems);
  if (!built.ok) return fail(...problems, ...built.problems);
  const whole = melt(built.value, !plain, at, problems);
  if (whole.length > 0) return ok(whole, problems);
  return fail(...problems, stop('geo-no-area', 'No ground is left of this polygon.', 'Check its holes.', at));
}

/** Share of an area that rounding to 0.1 mm may change. */
const NEGLIGIBLE = 1e-6;

interface NamedRing {
  readonly index: number;
  readonly ring: Ring;
  readonly units: FlatRing;
  /** Number of the polygon it was listed with. */
  readonly part: number;
  readonly hole: boolean;
}
interface Part extends NamedRing {
  readonly holes: NamedRing[];
}

function readRings(
  polygons: readonly (readonly (readonly LngLat[])[])[],
  at: Place,
  problems: Problem[],
): readonly NamedRing[] {
  const rings: NamedRing[] = [];
  polygons.forEach((polygon, part) => {
    polygon.forEach((positions, number) => {
      const { ring, spike } = tidyRing(positions);
      if (ring) {
        rings.push({ index: rings.length, ring, units: flatRing(ring), part, hole: number > 0 });
        if (spike) {
          const message = 'The outline runs out and straight back; that spike holds no ground and was left out.';
          problems.push(
            note('geo-spike', message, 'Check the outline there.', { ...at, lngLat: [spike[0], spike[1]] }),
          );
        }
      } else {
        const message = `A ${number > 0 ? 'hole' : 'part'} of the polygon encloses no ground and was left out.`;
        const remedy = 'Check the outline there if it should hold ground.';
        problems.push(caution('geo-ring-no-area', message, remedy, near(at, positions)));
      }
    });
  });
  return rings;
}

const near = (at: Place, positions: readonly LngLat[]): Place => {
  const first = positions[0];
  return first ? { ...at, lngLat: [first[0], first[1]] } : at;
};

const where = (at: Place, contact: Contact): Place => ({
  ...at,
  lngLat: [snap8(contact.x / UNITS_PER_DEG), snap8(contact.y / UNITS_PER_DEG)],
});

const crossing = (contact: Contact, count: number, at: Place): Problem =>
  stop(
    'geo-self-crossing',
    count === 1 ? 'The outline crosses itself.' : `The outline crosses itself in ${count} places; the first is named.`,
    'Move the corners there so that the outline does not cross itself.',
    where(at, contact),
  );

/** Each hole to the smallest part that contains it, else to its own part where their edges meet. */
function giveHoles(
  rings: readonly NamedRing[],
  contacts: readonly Contact[],
  at: Place,
  problems: Problem[],
): readonly Part[] {
  const parts = rings
    .filter(({ hole }) => !hole)
    .map((named): Part & { readonly size: number } => ({
      ...named,
      holes: [],
      size: Math.abs(signedArea_deg2(named.ring)),
    }))
    .sort((a, b) => a.size - b.size);
  const holes = rings.filter(({ hole }) => hole);
  for (const hole of holes) {
    const around = parts.filter((part) => isInside(hole.units, part.units));
    const home = around[0] ?? parts.find((part) => part.part === hole.part && meets(contacts, hole, part));
    if (!home) {
      const message = 'A hole lies outside every part of the polygon and was left out.';
      const remedy = 'Check whether it should be a part of its own.';
      problems.push(caution('geo-hole-outside', message, remedy, near(at, hole.ring)));
      continue;
    }
    const outerHole = holes.find(
      (other) => other !== hole && isInside(hole.units, other.units) && !isInside(home.units, other.units),
    );
    if (outerHole && !meets(contacts, hole, outerHole)) {
      const message = 'A hole lies inside another hole and changes nothing; it was left out.';
      problems.push(caution('geo-hole-in-hole', message, 'Check whether it should be an island.', near(at, hole.ring)));
      continue;
    }
    home.holes.push(hole);
    if (home.part !== hole.part) {
      const message = 'A hole was listed with a part that does not contain it; it was given to the one that does.';
      problems.push(note('geo-hole-moved', message, 'Check the outline there.', near(at, hole.ring)));
    }
  }
  return parts.sort((a, b) => a.index - b.index);
}

const meets = (contacts: readonly Contact[], a: NamedRing, b: NamedRing): boolean =>
  contacts.some(
    ({ ringA, ringB }) => (ringA === a.index && ringB === b.index) || (ringA === b.index && ringB === a.index),
  );

const plainPart = (part: Part): MultiPolygon => [wound([part.ring, ...part.holes.map(({ ring }) => ring)])];

/** Parts of which rings touch: cut anew, part by part, since a touch at a corner may be a way through. */
function rebuild(
  parts: readonly Part[],
  contacts: readonly Contact[],
  at: Place,
  problems: Problem[],
): Result<readonly MultiPolygon[]> {
  const stops: Problem[] = [];
  /** The first place where rings of one list meet others of the other. */
  const meeting = (some: readonly NamedRing[], others: readonly NamedRing[]): Place => {
    const has = (list: readonly NamedRing[], index: number): boolean => list.some((named) => named.index === index);
    const met = contacts.find(
      ({ ringA, ringB }) =>
        ringA !== ringB && ((has(some, ringA) && has(others, ringB)) || (has(some, ringB) && has(others, ringA))),
    );
    return met ? where(at, met) : at;
  };
  const region = (named: NamedRing): MultiPolygon => {
    const own = contacts.find(({ ringA, ringB }) => ringA === named.index && ringB === named.index);
    if (!own) return [wound([named.ring])];
    const enclosed = evenOdd([named.ring]);
    const before = Math.abs(signedArea_deg2(named.ring));
    const after = enclosed.flat().reduce((sum, ring) => sum + signedArea_deg2(ring), 0);
    if (Math.abs(before - after) > 1e-9 * before) stops.push(crossing(own, 1, at));
    else {
      const message = 'The outline touches itself; it was cut apart there.';
      problems.push(caution('geo-ring-touches-itself', message, 'Check the outline there.', where(at, own)));
    }
    return enclosed;
  };
  const built = parts.map((part) => {
    const outer = region(part);
    if (part.holes.length === 0) return outer;
    const holes = part.holes.map(region);
    const cut = union(holes.flat(), []);
    const ground = difference(outer, cut);
    const cut_m2 = area_m2(cut);
    if (cut_m2 < (1 - NEGLIGIBLE) * area_m2(holes.flat())) {
      const message = 'Holes overlap; they were made one.';
      problems.push(
        caution('geo-holes-overlap', message, 'Check the outlines there.', meeting(part.holes, part.holes)),
      );
    }
    if (area_m2(outer) - area_m2(ground) < (1 - NEGLIGIBLE) * cut_m2) {
      const message = 'A hole reaches out of its part; what lies inside the part was cut out.';
      problems.push(caution('geo-hole-crosses-edge', message, 'Check the outline there.', meeting(part.holes, [part])));
    }
    return ground;
  });
  return stops.length > 0 ? fail(...stops) : ok(built);
}

/** Parts as one: told where they overlapped or adjoined. */
function melt(parts: readonly MultiPolygon[], meeting: boolean, at: Place, problems: Problem[]): MultiPolygon {
  const apart = parts.flat();
  if (parts.length < 2 || !(meeting || nested(apart))) return apart;
  const whole = union(apart, []);
  const before = area_m2(apart);
  const shared = before - area_m2(whole);
  if (shared > NEGLIGIBLE * before) {
    const acres = (shared / before) * toAcres(before);
    const message = `Parts of the polygon overlap by ${acres.toFixed(acres < 0.1 ? 4 : 2)} ac; that ground is counted once.`;
    problems.push(caution('geo-parts-overlap', message, 'Check that no part stands in the file twice.', at));
  } else if (whole.length < apart.length) {
    const message = `${apart.length} parts adjoin one another and were joined to ${whole.length}.`;
    problems.push(note('geo-parts-joined', message, 'Nothing to do.', at));
  }
  return whole;
}

/** Whether a part lies inside another's ground, not in its holes: then they overlap though their edges never meet. */
function nested(polygons: MultiPolygon): boolean {
  const flat = polygons.map((polygon) => polygon.map(flatRing));
  return flat.some(([inner], i) =>
    flat.some(([outer, ...holes], j) => {
      if (i === j || !inner || !outer || !isInside(inner, outer)) return false;
      return !holes.some((hole) => isInside(inner, hole));
    }),
  );
}
