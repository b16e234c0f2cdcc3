import type { PeriodFigures } from '../../../records/ward/figures';
import type { PeriodKind } from '../../../records/ward/periods';
import { type Share, wilson } from '../../../records/ward/share';
import styles from './Ward.module.css';
import { fewest } from './words';

const size = { width: 1100, height: 340, above: 16, below: 84, before: 64, after: 12 };
const bottom = size.height - size.below;
const y = (part: number) => size.above + (1 - part) * (bottom - size.above);

const months = new Intl.DateTimeFormat('en', { month: 'short' });
const days = new Intl.DateTimeFormat('en', { month: 'short', day: 'numeric' });

/** Both shares over time, with their intervals. The table below it holds the same figures. */
export function TimePlot({ rows, by }: { rows: readonly PeriodFigures[]; by: PeriodKind }) {
  if (rows.every(({ missed, after }) => Math.max(missed.n, after.n) < fewest))
    return (
      <p>
        There are fewer than {fewest} visits in each {by}, so nothing is drawn.
      </p>
    );
  const step = (size.width - size.before - size.after) / rows.length;
  const x = (index: number) => size.before + (index + 0.5) * step;
  // Names are about 60 wide.
  const each = Math.ceil(60 / step);
  const apart = Math.min(7, step / 5);
  return (
    <svg
      className={styles.plot}
      viewBox={`0 0 ${size.width} ${size.height}`}
      role="img"
      aria-label="Shares over time. The table below holds the same figures."
    >
      {[0, 0.25, 0.5, 0.75, 1].map((part) => (
        <g key={part}>
          <path className={styles.grid} d={`M${size.before} ${y(part)}H${size.width - size.after}`} />
          <text x={size.before - 10} y={y(part) + 6} textAnchor="end">
            {`${100 * part}\u00a0%`}
          </text>
        </g>
      ))}
      {rows.map(
        ({ from, visits }, index) =>
          index % each === 0 && (
            <g key={from} textAnchor="middle">
              <text x={x(index)} y={bottom + 26}>
                {(by === 'month' ? months : days).format(new Date(`${from}T12:00`))}
              </text>
              <text x={x(index)} y={bottom + 48}>
                n {visits.toLocaleString('en')}
              </text>
              {(index === 0 || from.slice(0, 4) !== rows[index - each]?.from.slice(0, 4)) && (
                <text x={x(index)} y={bottom + 72} className={styles.year}>
                  {from.slice(0, 4)}
                </text>
              )}
            </g>
          ),
      )}
      <Line kind="missed" shares={rows.map(({ missed }) => missed)} x={(index) => x(index) - apart} />
      <Line kind="after" shares={rows.map(({ after }) => after)} x={(index) => x(index) + apart} />
    </svg>
  );
}

/** Points with their intervals, joined where neighbours are both there. */
function Line({
  kind,
  shares,
  x,
}: {
  kind: 'missed' | 'after';
  shares: Share[];
  x: (index: number) => number;
}) {
  const points = shares.flatMap((share, index) => {
    const found = share.n < fewest ? null : wilson(share);
    return found ? [{ index, at: x(index), part: share.k / share.n, ...found }] : [];
  });
  const joined = points.map(
    ({ index, at, part }, place) => `${points[place - 1]?.index === index - 1 ? 'L' : 'M'}${at} ${y(part)}`,
  );
  return (
    <g data-kind={kind}>
      <path
        className={styles.whisker}
        d={points.map(({ at, low, high }) => `M${at} ${y(low)}V${y(high)}`).join('')}
      />
      <path className={styles.line} d={joined.join('')} />
      {points.map(({ index, at, part }) => (
        <path key={index} className={styles.point} d={mark(kind, at, y(part))} />
      ))}
    </g>
  );
}

/** A round one and a square one, so that colour is not all that tells them. */
export const mark = (kind: 'missed' | 'after', at: number, up: number): string =>
  kind === 'missed'
    ? `M${at - 6} ${up}a6 6 0 1 0 12 0a6 6 0 1 0 -12 0`
    : `M${at - 5.5} ${up - 5.5}h11v11h-11z`;
