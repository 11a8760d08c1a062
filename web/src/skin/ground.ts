// A drawn plate read as ground to point at: where its spots are, and which place on the skin a point of it is. The drawing says all of
// it by its data attributes (src/edge/drawing/body/body.hpp); nothing about the body is known here.
import type { Placed } from './lengths';

/** An element of the drawing that stands for a place; `at` in the drawing's own units. */
export interface Mark extends Placed {
  at: [number, number];
  injection: string;
  area: string;
  open: boolean;
}

/** One plane of skin. `left`: 1 where the person's left is to the right of the drawing, as seen from the front. */
interface Plane {
  zone: string;
  origin: [number, number];
  left: 1 | -1;
}

export interface Ground {
  box: [number, number, number, number];
  perCm: number;
  marks: Mark[];
  /** From the window's pixels to the drawing's units. */
  point: (clientX: number, clientY: number) => [number, number];
  /** The place on the skin at a point, to the millimetre. */
  placeAt: (at: [number, number]) => Placed | null;
  /** Where a place lies on the drawing, if it lies on this one. */
  locate: (placed: Placed) => [number, number] | null;
}

const cmText = (cm: number): string => {
  const mm = Math.round(cm * 10);
  return `${mm < 0 ? '-' : ''}${Math.floor(Math.abs(mm) / 10)}${mm % 10 === 0 ? '' : `.${Math.abs(mm) % 10}`}`;
};

function marksOf(svg: SVGSVGElement, point: Ground['point']): Mark[] {
  return [...svg.querySelectorAll<SVGElement>('[data-zone][data-x]:not(text)')].map((element) => {
    const { left, top, width, height } = element.getBoundingClientRect();
    const { zone = '', x = '', y = '', injection = '', area = '' } = element.dataset;
    return {
      zone,
      x_cm: x,
      y_cm: y,
      injection,
      area,
      open: injection === '' && area === '',
      at: point(left + width / 2, top + height / 2),
    };
  });
}

/** On the abdomen the four quarters share the navel; every other zone has its own middle. */
const sharedPlane = (zone: string): string => (zone.startsWith('abdomen') ? 'abdomen' : zone);

/** The drawing's own origin, or, where two zones stand side by side, each group's. */
function planesOf(svg: SVGSVGElement): Plane[] {
  const groups = [...svg.querySelectorAll<SVGElement>('g[data-zone][data-origin-x]')];
  return (groups.length > 0 ? groups : [svg]).map(({ dataset }) => ({
    zone: sharedPlane(dataset['zone'] ?? dataset['plane'] ?? ''),
    origin: [Number(dataset['originX']), Number(dataset['originY'])],
    left: (dataset['left'] ?? svg.dataset['left']) === '-1' ? -1 : 1,
  }));
}

function quarter(x: number, y: number): string {
  return `abdomen ${x < 0 ? 'right' : 'left'} ${y < 0 ? 'lower' : 'upper'}`;
}

/** Reads the drawing as it stands on the page; null where it is no plate or not shown. */
export function readGround(svg: SVGSVGElement): Ground | null {
  const perCm = Number(svg.dataset['perCm']);
  const toUnits = svg.getScreenCTM()?.inverse();
  if (!toUnits || !(perCm > 0)) return null;
  const point = (clientX: number, clientY: number): [number, number] => {
    const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(toUnits);
    return [x, y];
  };
  const marks = marksOf(svg, point);
  const planes = planesOf(svg);
  const { x, y, width, height } = svg.viewBox.baseVal;
  const placeAt = (at: [number, number]): Placed | null => {
    const plane = planes.toSorted((a, b) => Math.abs(a.origin[0] - at[0]) - Math.abs(b.origin[0] - at[0]))[0];
    if (!plane) return null;
    const [x_cm, y_cm] = [cmText((plane.left * (at[0] - plane.origin[0])) / perCm), cmText((plane.origin[1] - at[1]) / perCm)];
    return { zone: plane.zone === 'abdomen' ? quarter(Number(x_cm), Number(y_cm)) : plane.zone, x_cm, y_cm };
  };
  const locate = (placed: Placed): [number, number] | null => {
    const plane = planes.find(({ zone }) => zone === sharedPlane(placed.zone));
    const [across, along] = [Number(placed.x_cm), Number(placed.y_cm)];
    if (!plane || Number.isNaN(across) || Number.isNaN(along)) return null;
    return [plane.origin[0] + plane.left * across * perCm, plane.origin[1] - along * perCm];
  };
  return { box: [x, y, width, height], perCm, marks, point, placeAt, locate };
}

export const apart = (a: [number, number], b: [number, number]): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** The nearest mark within a reach in drawing units. */
export const nearest = (marks: Mark[], at: [number, number], within: number): Mark | null =>
  marks
    .map((mark) => ({ mark, far: apart(mark.at, at) }))
    .filter(({ far }) => far <= within)
    .toSorted((a, b) => a.far - b.far)[0]?.mark ?? null;

export type Way = 'ArrowLeft' | 'ArrowRight' | 'ArrowUp' | 'ArrowDown';
const ways: Record<Way, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
export const isWay = (key: string): key is Way => key in ways;

/** One millimetre that way. */
export const aLittle = (from: [number, number], way: Way, perCm: number): [number, number] => [
  from[0] + (ways[way][0] * perCm) / 10,
  from[1] + (ways[way][1] * perCm) / 10,
];

/** The nearest spot that way: how far it lies ahead counts once, how far aside twice. Straight on goes before slantwise, so that a row is
    walked to its end and over to the next zone. */
export function nextThatWay(marks: Mark[], from: [number, number], way: Way): Mark | null {
  const [dx, dy] = ways[way];
  const ahead = marks
    .map((mark) => {
      const [x, y] = [mark.at[0] - from[0], mark.at[1] - from[1]];
      return { mark, on: x * dx + y * dy, aside: Math.abs(x * dy) + Math.abs(y * dx) };
    })
    .filter(({ on }) => on > 0.5);
  for (const slant of [1, 3]) {
    const found = ahead.filter(({ on, aside }) => aside <= on * slant).toSorted((a, b) => a.on + 2 * a.aside - (b.on + 2 * b.aside))[0];
    if (found) return found.mark;
  }
  return null;
}

/** Across a drawing, from the spot nearest to its middle. */
export function firstSpot(ground: Ground): Mark | null {
  const [x, y, width, height] = ground.box;
  return nearest(
    ground.marks.filter(({ open }) => open),
    [x + width / 2, y + height / 2],
    Infinity,
  );
}

export { cmText };
