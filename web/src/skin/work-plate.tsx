// A plate to work on: point with mouse, pen or finger, or walk over it with the arrow keys. It is one tab stop; what is under the cursor
// is said in words. What was chosen is laid over the drawing and belongs to the form beside it.
import type { JSX, RefObject } from 'preact';
import { useEffect, useId, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Svg } from '../model';
import type { Choice } from '../parts/fields';
import { Picture } from '../parts/text';
import { aLittle, apart, cmText, firstSpot, isWay, nearest, nextThatWay, readGround, type Ground, type Mark, type Way } from './ground';
import { samePlace, saidPlace, type Placed } from './lengths';
import { Said, say } from '../words';

export interface PlateWork {
  /** A spot is pointed at; a circle is drawn from its centre outwards. */
  draw: 'spot' | 'circle';
  zones: Choice[];
  placed: Placed | null;
  radius_cm: string;
  place: (placed: Placed, radius_cm: string) => void;
  /** A place that was used was pointed at. True: that was what was meant, and no place is chosen by it. */
  mark: (injection: string) => boolean;
  /** Escape: the focus goes on to the form. */
  leave: () => void;
}

const snap_cm = 0.4; // nearer to a spot than this, the spot is meant: spots are a centimetre apart or more
const least_radius_cm = 0.3; // a smaller drag was a tap
const start_radius_cm = '1';
const step_radius_cm = 0.5;
const most_radius_cm = 15;

const radiusOf = (text: string): number => {
  const cm = Number(text);
  return text.trim() !== '' && cm > 0 ? cm : Number(start_radius_cm);
};

/** Corner brackets: the cursor. A ring with its point: what was chosen. A cross-hatched circle with its measure: what is drawn. */
function Overlay({ ground, cursor, work }: { ground: Ground; cursor: Placed | null; work: PlateWork }): JSX.Element {
  const cm = ground.perCm;
  const at = work.placed ? ground.locate(work.placed) : null;
  const here = cursor ? ground.locate(cursor) : null;
  const radius = Number(work.radius_cm) * cm;
  const text = cm * 1.05;
  const above = at !== null && at[1] - radius - 2 * cm > ground.box[1];
  return (
    <svg class="over" viewBox={ground.box.join(' ')} aria-hidden="true">
      {at && work.draw === 'circle' && radius > 0 && (
        <g class="draft">
          <circle class="under" cx={at[0]} cy={at[1]} r={radius} />
          <circle class="area" cx={at[0]} cy={at[1]} r={radius} fill="url(#p-block)" />
          <path class="arm" d={`M${at[0]} ${at[1]}h${radius}`} />
          <text x={at[0]} y={above ? at[1] - radius - cm * 0.4 : at[1] + radius + cm * 1.2} text-anchor="middle" font-size={text}>
            {work.radius_cm} {say('unit.cm')}
          </text>
        </g>
      )}
      {at && (work.draw === 'spot' || !(radius > 0)) && (
        <g class="ring">
          <circle cx={at[0]} cy={at[1]} r={cm * 0.62} />
          <circle class="dot" cx={at[0]} cy={at[1]} r={cm * 0.2} />
        </g>
      )}
      {at && work.draw === 'circle' && radius > 0 && <circle class="dot" cx={at[0]} cy={at[1]} r={cm * 0.16} />}
      {here && (
        <path
          class="cursor"
          transform={`translate(${here[0]} ${here[1]}) scale(${cm * 0.8})`}
          d="M-1 -.4V-1H-.4M.4 -1H1V-.4M1 .4V1H.4M-.4 1H-1V.4"
        />
      )}
    </svg>
  );
}

/** How the plate is worked without a mouse, in one line. */
const keysOf = (draw: PlateWork['draw']): string => (draw === 'spot' ? say('skin.keys_spot') : say('skin.keys_circle'));

const bare = ({ zone, x_cm, y_cm }: Placed): Placed => ({ zone, x_cm, y_cm });
const noArea = (ground: Ground): Mark[] => ground.marks.filter(({ area }) => area === '');

interface Hand {
  holder: RefObject<HTMLDivElement | null>;
  work: PlateWork;
  /** The drawing as it stands now, read afresh: the window may have changed its size. */
  read: () => Ground | null;
  cursor: Placed | null;
  setCursor: (cursor: Placed | null) => void;
}

type Drag = { id: number; from: [number, number]; centre: Placed; ground: Ground };

interface Pointing {
  dragging: () => boolean;
  onPointerDown: (event: PointerEvent) => void;
  onPointerMove: (event: PointerEvent) => void;
  onPointerUp: (event: PointerEvent) => void;
  onPointerCancel: (event: PointerEvent) => void;
  onClick: (event: MouseEvent) => void;
}

/** Mouse, pen and finger: a tap for a spot, a drag from the centre outwards for a circle. */
function usePointing({ holder, work, read, setCursor }: Hand): Pointing {
  const drag = useRef<Drag | null>(null);
  const drawn = (held: Drag, event: PointerEvent): number =>
    Math.min(most_radius_cm, apart(held.from, held.ground.point(event.clientX, event.clientY)) / held.ground.perCm);
  const down = (event: PointerEvent): void => {
    const ground = work.draw === 'circle' && event.button === 0 ? read() : null;
    const from = ground?.point(event.clientX, event.clientY);
    const centre = from && ground?.placeAt(from);
    if (!ground || !from || !centre) return;
    event.preventDefault();
    drag.current = { id: event.pointerId, from, centre, ground };
    holder.current?.focus({ preventScroll: true });
    holder.current?.setPointerCapture(event.pointerId);
    setCursor(null);
    work.place(centre, work.radius_cm);
  };
  const move = (event: PointerEvent): void => {
    const held = drag.current;
    if (held?.id !== event.pointerId) return;
    const radius = drawn(held, event);
    if (radius >= least_radius_cm) work.place(held.centre, cmText(radius));
  };
  const up = (event: PointerEvent): void => {
    const held = drag.current;
    if (held?.id !== event.pointerId) return;
    drag.current = null;
    const radius = drawn(held, event);
    work.place(held.centre, radius >= least_radius_cm ? cmText(radius) : work.radius_cm || start_radius_cm);
  };
  const click = (event: MouseEvent): void => {
    const ground = work.draw === 'spot' && event.detail <= 1 ? read() : null;
    if (!ground) return;
    const at = ground.point(event.clientX, event.clientY);
    const near = nearest(noArea(ground), at, snap_cm * ground.perCm);
    if (near && near.injection !== '' && work.mark(near.injection)) return;
    const placed = near ?? ground.placeAt(at);
    setCursor(null);
    if (placed) work.place(bare(placed), work.radius_cm);
  };
  return {
    dragging: () => drag.current !== null,
    onPointerDown: down,
    onPointerMove: move,
    onPointerUp: up,
    onPointerCancel: up,
    onClick: click,
  };
}

/** The keyboard: a cursor that walks from spot to spot, and the radius. Answers whether the key was one of ours. */
function useKeys({ work, read, cursor, setCursor }: Hand): (event: KeyboardEvent) => void {
  const walk = (ground: Ground, way: Way, little: boolean): void => {
    const start = cursor ?? work.placed ?? firstSpot(ground);
    const from = start ? ground.locate(start) : null;
    if (!start || !from) return;
    const to = little ? ground.placeAt(aLittle(from, way, ground.perCm)) : nextThatWay(noArea(ground), from, way);
    setCursor(bare(to ?? start));
  };
  const widen = (by: number): void => {
    const centre = work.placed ?? cursor;
    if (!centre) return;
    const wide = radiusOf(work.radius_cm) + (work.placed ? by : 0);
    work.place(centre, cmText(Math.min(most_radius_cm, Math.max(step_radius_cm, wide))));
  };
  const choose = (): void => {
    const centre = cursor ?? work.placed;
    if (centre) work.place(centre, work.draw === 'circle' ? String(radiusOf(work.radius_cm)) : work.radius_cm);
  };
  const done = (ground: Ground, event: KeyboardEvent): boolean => {
    const circle = work.draw === 'circle';
    if (isWay(event.key)) walk(ground, event.key, event.shiftKey);
    else if (event.key === 'Enter' || event.key === ' ') choose();
    else if (circle && (event.key === '+' || event.key === '=')) widen(step_radius_cm);
    else if (circle && (event.key === '-' || event.key === '−')) widen(-step_radius_cm);
    else if (event.key === 'Escape') {
      setCursor(null);
      work.leave();
    } else return false;
    return true;
  };
  return (event) => {
    const ground = event.ctrlKey || event.metaKey || event.altKey ? null : read();
    if (ground && done(ground, event)) event.preventDefault();
  };
}

function Here({ cursor, work }: { cursor: Placed | null; work: PlateWork }): JSX.Element {
  const { placed, radius_cm: radius } = work;
  const wide = work.draw === 'circle' && Number(radius) > 0;
  const under = cursor && !(placed && samePlace(cursor, placed)) ? cursor : null;
  return (
    <p class="here" role="status">
      {under && <Said of="skin.under_cursor" place={saidPlace(under, work.zones)} />}
      {!under && placed && <Said of={wide ? 'skin.chosen_radius' : 'skin.chosen'} place={saidPlace(placed, work.zones)} cm={radius} />}
      {!under && !placed && <span class="soft">{say('skin.nothing_chosen')}</span>}
    </p>
  );
}

export function WorkPlate({ title, picture, work }: { title: string; picture: Svg; work: PlateWork }): JSX.Element {
  const holder = useRef<HTMLDivElement>(null);
  const [ground, setGround] = useState<Ground | null>(null);
  const [cursor, setCursor] = useState<Placed | null>(null);
  const keys = useId();
  const read = (): Ground | null => {
    const svg = holder.current?.querySelector<SVGSVGElement>('.drawing svg');
    const now = svg ? readGround(svg) : null;
    if (now) setGround(now);
    return now;
  };
  const hand: Hand = { holder, work, read, cursor, setCursor };
  const { dragging, ...pointing } = usePointing(hand);
  const press = useKeys(hand);
  useLayoutEffect(() => void read(), [picture]);
  useEffect(() => setCursor(null), [title, work.draw]);
  const focus = (): void => {
    const now = dragging() || holder.current?.matches(':focus-visible') !== true ? null : read();
    const first = now && (work.placed ?? firstSpot(now));
    if (first) setCursor(bare(first));
  };
  return (
    <div class="work-plate">
      <div
        ref={holder}
        class={`ground ${work.draw}`}
        role="application"
        aria-label={title}
        aria-describedby={keys}
        tabIndex={0}
        {...pointing}
        onFocus={focus}
        onBlur={() => setCursor(null)}
        onKeyDown={press}
      >
        <Picture svg={picture} />
        {ground && <Overlay ground={ground} cursor={cursor} work={work} />}
      </div>
      <Here cursor={cursor} work={work} />
      <p class="keys small soft" id={keys}>
        {keysOf(work.draw)}
      </p>
    </div>
  );
}
