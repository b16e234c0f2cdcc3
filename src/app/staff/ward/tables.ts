import { type Cell, csv } from '../../../records/ward/csv';
import type { PeriodFigures, PointFigures } from '../../../records/ward/figures';
import { type Share, wilson } from '../../../records/ward/share';

/* The tables of the screen as files: the same figures, with what they were counted from in each line. */

/** What all lines of a table share. */
export interface About {
  ward: string;
  module: string;
  visits: string;
  language: string;
  /** First and last day that was looked at, or of the visits there are. */
  from: string;
  to: string;
}

export interface PointRow extends PointFigures {
  label: string;
  weight: string;
}

const aboutHead = ['ward', 'module', 'visits', 'language', 'from', 'to'];
const aboutCells = ({ ward, module, visits, language, from, to }: About): Cell[] => [
  ward,
  module,
  visits,
  language,
  from,
  to,
];
const shareHead = (name: string, of: string) => [
  name,
  of,
  `${name}: 95 % from (Wilson)`,
  `${name}: 95 % to (Wilson)`,
];

function shareCells(share: Share): Cell[] {
  const found = wilson(share);
  const four = (part: number) => Number(part.toFixed(4));
  return [share.k, share.n, found ? four(found.low) : null, found ? four(found.high) : null];
}

export const pointsCsv = (about: About, rows: readonly PointRow[]): string =>
  csv(
    [
      ...aboutHead,
      'point',
      'weight',
      ...shareHead('not said at first', 'visits asked'),
      'said the other way round',
      ...shareHead('said after teaching again', 'visits taught again'),
      'left for a person',
      'answers until said (median)',
    ],
    rows.map(({ label, weight, missed, opposite, after, person, answers }) => [
      ...aboutCells(about),
      label,
      weight,
      ...shareCells(missed),
      opposite,
      ...shareCells(after),
      person,
      answers,
    ]),
  );

export const periodsCsv = (about: About, point: string, rows: readonly PeriodFigures[]): string =>
  csv(
    [
      ...aboutHead,
      'point',
      'begins',
      'all visits',
      ...shareHead('not said at first', 'visits asked'),
      ...shareHead('said after teaching again', 'visits taught again'),
    ],
    rows.map(({ from, visits, missed, after }) => [
      ...aboutCells(about),
      point,
      from,
      visits,
      ...shareCells(missed),
      ...shareCells(after),
    ]),
  );
