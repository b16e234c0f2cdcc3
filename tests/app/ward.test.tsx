// @vitest-environment happy-dom
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { makeWard } from '../../src/app/desks/ward';
import { loadCommon } from '../../src/app/lessons';
import { particularsOf } from '../../src/app/particulars';
import { readSite } from '../../src/app/site';
import { WardPage } from '../../src/app/staff/WardPage';
import { inventedWard } from '../../src/records/invented';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact, VisitStart } from '../../src/records/types';
import type { Label } from '../../src/scoring/types';

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

let clock = new Date();
let store: MemoryStore;
let note: ReturnType<typeof vi.fn<(what: string, detail?: string) => Promise<void>>>;
beforeEach(() => {
  clock = new Date();
  store = new MemoryStore(() => clock);
  note = vi.fn(async () => {});
});

const easy = 'inhaler-spacer.prepare.shake';
const hard = 'inhaler-spacer.puff.slow';
const { site } = readSite('{"ward":"Quay 9"}');
const common = await loadCommon('en');

/** Nobody and nothing here exists. */
const startOf = (change: Partial<VisitStart>): VisitStart => ({
  visit: '',
  practice: false,
  ward: 'Quay 9',
  bed: '12',
  staff: 'R. Quillon, educator',
  learner: { role: 'patient', name: 'Ines Marlow' },
  language: 'en',
  interpreter: false,
  prefers: 'listening',
  barriers: [],
  module: 'inhaler-spacer',
  moduleVersion: '0.1.0',
  steps: [],
  audioOnly: false,
  particulars: particularsOf(common, site),
  ...change,
});
const tried = (step: string, attempt: number, concept: string, text: string, label: Label): VisitFact[] => [
  { type: 'asked', step, attempt, concepts: [concept], text: 'And how?' },
  {
    type: 'heard',
    step,
    attempt,
    mode: 'voice',
    heard: { text, confidence: 0.8, alternatives: [], engine: 'embedded' },
    confirmed: null,
  },
  {
    type: 'judged',
    step,
    attempt,
    findings: [{ concept, label, confidence: 0.9, evidence: [], reason: '' }],
  },
];

/** A visit at noon so many days ago, in which one point was missed or not, and said after teaching again or not. */
async function visit(daysAgo: number, missed: boolean, helped = true, change = {}): Promise<string> {
  clock = new Date();
  clock.setDate(clock.getDate() - daysAgo);
  clock.setHours(12, 0, 0, 0);
  const id = crypto.randomUUID();
  const start = startOf({ visit: id, module: 'inhaler-spacer', steps: ['prepare', 'puff'], ...change });
  const second = helped ? 'understood' : 'missed';
  const facts: VisitFact[] = [
    { type: 'visit-started', start },
    ...tried('prepare', 1, easy, 'I shake it', 'understood'),
    ...tried('puff', 1, hard, 'I breathe', missed ? 'missed' : 'understood'),
    ...(missed
      ? ([
          { type: 'retaught', step: 'puff', attempt: 2, concepts: [hard] },
          ...tried('puff', 2, hard, 'slowly', second),
        ] satisfies VisitFact[])
      : []),
    { type: 'finished', how: 'completed' },
  ];
  await store.append(id, facts);
  return id;
}

async function show() {
  const ward = await makeWard({ store: () => store, note, site });
  const onBack = vi.fn();
  render(<WardPage ward={ward} onBack={onBack} />);
  return { ward, onBack };
}
/** A row of a table by the words it begins with, as its cells. */
const row = (name: RegExp) =>
  within(screen.getByRole('rowheader', { name }).closest('tr')!)
    .getAllByRole('cell')
    .map((cell) => cell.textContent);
const choose = (name: string, option: string) =>
  userEvent.selectOptions(screen.getByRole('combobox', { name: new RegExp(`^${name}`) }), option);

describe('the ward view', () => {
  it('counts visits, point by point, beside a drawing that says the same', async () => {
    // 7 of 9 missed, 5 of the 7 said after teaching again; the other point never missed.
    for (let index = 0; index < 9; index++) await visit(2, index < 7, index < 5);
    await show();
    await screen.findByText('9 visits');
    // Wilson: 7 of 9 is 45 to 94 %, 5 of 7 is 36 to 92 %, 0 of 9 is 0 to 30 %.
    expect(row(/slowly|slow/i)).toEqual(['', '7 of 945 to 94 %', '0', '', '5 of 736 to 92 %', '2', '2']);
    expect(row(/^Shake well/)).toEqual(['', '0 of 90 to 30 %', '0', '', '–', '0', '1']);
    const drawn = screen
      .getByRole('rowheader', { name: /slow/i })
      .closest('tr')!
      .querySelectorAll('svg rect');
    expect([...drawn].map((bar) => Number(bar.getAttribute('width')))).toEqual([700 / 9, 500 / 7]);
    // The one missed most comes first, those never asked come last.
    const order = screen.getAllByRole('rowheader').map((cell) => cell.textContent);
    expect(order[0]).toMatch(/slow/i);
    expect(row(/^Shake well/)).not.toEqual(row(/^Watch/));
  });

  it('draws nothing of a few, and tells them all the same', async () => {
    await visit(2, true);
    await visit(3, true, false);
    await show();
    await screen.findByText('2 visits');
    expect(row(/slow/i)).toEqual([
      'too few to draw',
      '2 of 234 to 100 %',
      '0',
      'too few to draw',
      '1 of 29 to 91 %',
      '1',
      '2',
    ]);
    expect(document.querySelector('svg rect')).toBe(null);
    screen.getByText('There are fewer than 5 visits in each month, so nothing is drawn.');
  });

  it('leaves practice and what has not ended out, and says so', async () => {
    await visit(2, true);
    await visit(2, true, true, { practice: true });
    const id = crypto.randomUUID();
    await store.append(id, [
      { type: 'visit-started', start: startOf({ visit: id, module: 'inhaler-spacer' }) },
    ]);
    await visit(2, true, true, { module: 'kettle' });
    await show();
    await screen.findByText('1 visit');
    screen.getByText(/Left out: 1 practice visit, 1 visit not finished, 1 visit that cannot be read\./);
  });

  it('takes the span, the language and the module that are chosen', async () => {
    await visit(2, true);
    await visit(60, true, true, { language: 'fr' });
    await visit(200, true);
    await visit(800, true);
    await visit(2, false, true, { module: 'nebulizer', steps: [] });
    await show();
    await screen.findByText('3 visits');
    await choose('When', 'Last 4 weeks');
    screen.getByText('1 visit');
    await choose('When', 'All');
    screen.getByText('4 visits');
    await choose('Language', 'fr');
    screen.getByText('1 visit');
    await choose('Language', '');
    await choose('When', 'own');
    const day = (ago: number) => {
      const date = new Date();
      date.setDate(date.getDate() - ago);
      return date.toLocaleDateString('sv');
    };
    fireEvent.change(screen.getByLabelText('From'), { target: { value: day(200) } });
    fireEvent.change(screen.getByLabelText('To'), { target: { value: day(60) } });
    screen.getByText('2 visits');
    fireEvent.change(screen.getByLabelText('To'), { target: { value: day(61) } });
    screen.getByText('1 visit');
    await choose('Module', 'nebulizer');
    screen.getByText('0 visits');
  });

  it('counts re-checks apart', async () => {
    await visit(5, true);
    const recheck = {
      of: crypto.randomUUID(),
      at: '2026-03-02T14:00:00Z',
      points: [{ concept: hard, before: 'after-reteach' as const }],
      showMe: [],
    };
    await visit(3, false, true, { recheck });
    await visit(3, false, true, { recheck });
    await show();
    await screen.findByText('1 visit');
    await choose('Visits', 'recheck');
    screen.getByText('2 visits');
    screen.getByText('Not said when asked once more');
    expect(row(/slow/i)[1]).toBe('0 of 20 to 66 %');
  });

  it('has a table over time with what its drawing shows', async () => {
    for (let index = 0; index < 12; index++) await visit(1, index < 6, index < 3);
    await show();
    await screen.findByText('12 visits');
    await choose('Point', hard);
    const month = clock.toLocaleDateString('en', { month: 'short', year: 'numeric' });
    expect(row(new RegExp(`^${month}`))).toEqual(['12', '6 of 12', '25 to 75 %', '3 of 6', '19 to 81 %']);
    expect(document.querySelectorAll('[role=img] [class*=point]')).toHaveLength(2);
    await choose('By', 'week');
    expect(row(/^Week of/)).toEqual(['12', '6 of 12', '25 to 75 %', '3 of 6', '19 to 81 %']);
  });

  it('saves what it shows as CSV, without names, and notes that', async () => {
    const saved: Blob[] = [];
    vi.spyOn(URL, 'createObjectURL').mockImplementation((blob) => `blob:${saved.push(blob as Blob)}`);
    const links: string[] = [];
    vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
      links.push(this.download);
    });
    for (let index = 0; index < 9; index++) await visit(2, index < 7, index < 5);
    await show();
    await screen.findByText('9 visits');
    await userEvent.click(screen.getByRole('button', { name: 'Save these points (CSV)' }));
    await userEvent.click(screen.getByRole('button', { name: 'Save these months (CSV)' }));
    await waitFor(() => expect(saved).toHaveLength(2));
    const [points, months] = await Promise.all(saved.map((blob) => blob.text()));
    expect(points!.split('\r\n')[1]).toMatch(
      /^Quay 9,Inhaler with a spacer,first teaching,all,[\d-]+,[\d-]+,[^,]*slow[^,]*,critical,7,9,0\.4526,0\.9368,0,5,7,0\.3589,0\.9178,2,2$/i,
    );
    expect(months).toContain(',any that counts,');
    for (const word of ['Ines', 'Marlow', 'Quillon', 'breathe', 'I shake it'])
      expect(points! + months!).not.toContain(word);
    expect(note.mock.calls.map(([what]) => what)).toEqual(['ward-saved', 'ward-saved']);
    expect(links[0]).toMatch(/^ownwords-ward-points-inhaler-spacer-[\d-]+\.csv$/);
  });

  it('says what stood in the way, and goes back', async () => {
    store.list = () => Promise.reject(new Error('The disk is gone.'));
    const { onBack } = await show();
    expect((await screen.findByRole('alert')).textContent).toBe('The disk is gone.');
    await userEvent.click(screen.getByRole('button', { name: 'Back' }));
    expect(onBack).toHaveBeenCalled();
  });
});

describe('a sample ward', () => {
  it('comes and goes with one press each, by keys, says what it is, and leaves the focus in sight', async () => {
    await show();
    const many = await screen.findByLabelText<HTMLInputElement>('Number of visits');
    await userEvent.clear(many);
    await userEvent.type(many, '60{Enter}');
    await screen.findByText(/^These figures are of Harbor 4 \(invented\): nobody was taught/);
    expect(await store.list()).toHaveLength(60);
    expect(document.activeElement?.textContent).toBe('Ward');
    screen.getByRole('button', { name: 'Erase the invented visits' }).focus();
    await userEvent.keyboard('{Enter}');
    await screen.findByLabelText('Number of visits');
    expect(await store.list()).toEqual([]);
    expect(document.activeElement?.textContent).toBe('Ward');
    expect(note.mock.calls).toEqual([['sample-loaded', '60 visits'], ['sample-erased']]);
  });

  it('is told by its name in a file, and never counted with real visits', async () => {
    const { ward } = await show();
    const nothing = () => {};
    const { signal } = new AbortController();
    await ward.loadSample(30, nothing, signal);
    const alone = await ward.read(nothing, signal);
    expect(alone).toMatchObject({ invented: true, left: { invented: 0 } });
    expect(alone.visits).toHaveLength(30);
    expect(ward.nameOf(alone)).toBe(inventedWard);
    await visit(2, true);
    const both = await ward.read(nothing, signal);
    expect(both).toMatchObject({ invented: false, left: { invented: 30 } });
    expect(both.visits).toHaveLength(1);
    expect(ward.nameOf(both)).toBe('Quay 9');
  });
});
