// @vitest-environment happy-dom
import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { ReviewDesk } from '../../src/app/desks/review';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { readSite } from '../../src/app/site';
import { ReviewPage } from '../../src/app/staff/ReviewPage';
import type { Page } from '../../src/app/state';
import { derive } from '../../src/records/derive';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact } from '../../src/records/types';

afterEach(cleanup);

const shake = 'inhaler-spacer.prepare.shake';
const label = 'Shake well before each puff';
const by = { name: 'R. Quillon' };

function Drawn({
  desk,
  first,
  drawnBy,
}: {
  desk: ReviewDesk;
  first: Page;
  drawnBy: (draw: (page: Page) => void) => void;
}) {
  const [now, setNow] = useState(first);
  drawnBy(setNow);
  if (now.at !== 'review') return null;
  return (
    <ReviewPage
      stored={now.stored}
      me={desk.me}
      onAdd={(additions, name) => desk.add(now.visit, additions, name)}
      onDone={() => {}}
      onBack={() => {}}
    />
  );
}

const asked: VisitFact[] = [
  { type: 'asked', step: 'prepare', attempt: 1, concepts: [shake], text: 'How do you prepare it?' },
  {
    ...{ type: 'heard', step: 'prepare', attempt: 1, mode: 'voice', confirmed: null },
    heard: { text: 'I breathe in', confidence: 0.8, alternatives: [], engine: 'embedded' },
  },
  {
    ...{ type: 'judged', step: 'prepare', attempt: 1 },
    findings: [{ concept: shake, label: 'missed', confidence: 0.9, evidence: [], reason: 'Not said.' }],
  },
];

/** A visit in which one point was missed, under review; the page is drawn anew as the kiosk does it. */
async function opens({
  more = [],
  finished = true,
  session = null,
  note = async () => {},
}: {
  more?: VisitFact[];
  finished?: boolean;
  session?: { id: string; name: string } | null;
  note?: (what: string) => Promise<void>;
} = {}) {
  const lesson: FullLesson = await loadLesson('inhaler-spacer', 'en');
  const start = { ...practiceStart(readSite('{}').site, lesson), steps: ['prepare'] };
  const { visit } = start;
  const store = new MemoryStore();
  await store.append(visit, [
    { type: 'visit-started', start },
    ...asked,
    { type: 'question', text: 'Can I wash it?', answer: null },
    ...more,
    ...(finished ? [{ type: 'finished' as const, how: 'completed' as const }] : []),
  ]);
  const read = async () => ({ record: derive(await store.events(visit), lesson), lesson });
  let page: Page = { at: 'review', visit, stored: await read() };
  let draw = (_page: Page) => {};
  const noted: string[] = [];
  const wake = vi.fn();
  const desk = new ReviewDesk({
    ...{ store: () => store, read, wake },
    room: () => ({
      session,
      note: async (what) => {
        await note(what);
        noted.push(what);
      },
    }),
    page: () => page,
    turn: (next) => {
      page = next;
      draw(next);
    },
  });
  render(
    <Drawn
      desk={desk}
      first={page}
      drawnBy={(by) => {
        draw = by;
      }}
    />,
  );
  const facts = async () => (await store.events(visit)).map(({ fact }) => fact);
  return { facts, last: async () => (await facts()).at(-1), noted, wake, desk, visit };
}

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const row = () => button(`Decide otherwise: ${label}`).closest('tr')!;
const focused = () => document.activeElement;

describe('deciding otherwise', () => {
  it('goes by keyboard: choice, reason, name, Enter; then the focus is back on its button', async () => {
    const { last, noted, wake } = await opens();
    expect(row().textContent).toContain('needs a person');
    button(`Decide otherwise: ${label}`).focus();
    await userEvent.keyboard('{Enter}');
    // What it was not is chosen already.
    expect(focused()).toBe(screen.getByRole('radio', { name: 'Understood' }));
    expect(screen.getByRole<HTMLInputElement>('radio', { name: 'Understood' }).checked).toBe(true);
    await userEvent.keyboard('{Tab}Showed me twice.{Tab}R. Quillon{Enter}');
    expect(await last()).toEqual({
      ...{ type: 'decided', concept: shake, decision: 'understood', reason: 'Showed me twice.', by },
    });
    expect(focused()).toBe(button(`Decide otherwise: ${label}`));
    expect(screen.getByText(`Decided: ${label}.`)).toBeDefined();
    expect(row().textContent).toContain('understood, as decided');
    expect(row().textContent).toMatch(/R\. Quillon, .*Showed me twice\..*The kiosk: needs a person\./);
    expect(noted).toEqual(['decided-otherwise']);
    expect(wake).toHaveBeenCalled();
  });

  it('leaves the points where they are, and the name in the next small form', async () => {
    const labels = () => [...document.querySelectorAll('td strong')].map(({ textContent }) => textContent);
    await opens();
    const before = labels();
    await userEvent.click(button(`Decide otherwise: ${label}`));
    await userEvent.type(screen.getByLabelText('Why'), 'Told me.');
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon{Enter}');
    expect(row().textContent).toContain('understood, as decided');
    expect(labels()).toEqual(before);
    await userEvent.click(button(`Take it back: ${label}`));
    expect(screen.getByLabelText<HTMLInputElement>('Your name').value).toBe('R. Quillon');
  });

  it('can be taken back, after which the opinion of the kiosk counts', async () => {
    const decided: VisitFact = {
      type: 'decided',
      concept: shake,
      decision: 'understood',
      reason: 'Yes.',
      by,
    };
    const { last } = await opens({ more: [decided] });
    await userEvent.click(button(`Take it back: ${label}`));
    await userEvent.type(screen.getByLabelText('Your name'), 'O. Fennimore{Enter}');
    expect(await last()).toEqual({
      ...{ type: 'decision-taken-back', concept: shake, by: { name: 'O. Fennimore' } },
    });
    expect(row().textContent).not.toContain('Yes.');
    expect(row().textContent).toContain('needs a person');
    expect(focused()).toBe(button(`Decide otherwise: ${label}`));
  });

  it('without a reason is refused with a sentence, and nothing is stored', async () => {
    const { facts } = await opens();
    const before = await facts();
    await userEvent.click(button(`Decide otherwise: ${label}`));
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon');
    await userEvent.type(screen.getByLabelText('Why'), '   {Enter}');
    expect(screen.getByRole('alert').textContent).toContain('Write why');
    expect(await facts()).toEqual(before);
  });

  it('is left by Escape or Cancel', async () => {
    const { facts } = await opens();
    const before = await facts();
    await userEvent.click(button(`Decide otherwise: ${label}`));
    await userEvent.keyboard('{Escape}');
    expect(screen.queryByLabelText('Why')).toBeNull();
    expect(focused()).toBe(button(`Decide otherwise: ${label}`));
    await userEvent.click(button(`Decide otherwise: ${label}`));
    await userEvent.click(button('Cancel'));
    expect(screen.queryByLabelText('Why')).toBeNull();
    expect(await facts()).toEqual(before);
  });
});

describe('what else is added', () => {
  it('an answer to a question that was kept', async () => {
    const { last, facts } = await opens();
    await userEvent.click(button('Answer it: Can I wash it?'));
    await userEvent.type(screen.getByLabelText('What the learner was told'), 'Once a week.');
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon{Enter}');
    const question = (await facts()).findIndex(({ type }) => type === 'question');
    expect(await last()).toEqual({ type: 'answered', question, answer: 'Once a week.', by });
    expect(screen.getByText(/answered by R\. Quillon, .*: Once a week\./)).toBeDefined();
    expect(focused()).toBe(button('Answer anew: Can I wash it?'));
  });

  it('what the hands showed after the visit: all that was ticked at once, and nothing else', async () => {
    const { facts, noted } = await opens();
    const before = (await facts()).length;
    await userEvent.click(button('Tick what you saw after the visit'));
    const [first, second] = screen
      .getAllByRole('radiogroup')
      .map((group) => within(group).getAllByRole('radio'));
    await userEvent.click(first![0]!);
    await userEvent.click(second![1]!);
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon{Enter}');
    const added = (await facts()).slice(before);
    expect(added.map((fact) => fact.type === 'show-me' && fact.shown)).toEqual([true, false]);
    expect(noted).toEqual(['seen-later']);
    expect(screen.getAllByText(/after the visit, R\. Quillon/)).toHaveLength(2);
  });

  it('nothing, where nothing was ticked', async () => {
    const { facts } = await opens();
    const before = await facts();
    await userEvent.click(button('Tick what you saw after the visit'));
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon{Enter}');
    expect(screen.getByRole('alert').textContent).toBe('Nothing was changed.');
    expect(await facts()).toEqual(before);
  });
});

describe('the sign-off', () => {
  const section = () => screen.getByRole('region', { name: 'Sign-off' });

  it('says what stays open, is signed with it, and leads on to printing', async () => {
    const { last, noted } = await opens();
    expect(section().textContent).toContain('Still open: 1 point needs a person');
    await userEvent.click(button('Go to sign-off'));
    await userEvent.keyboard('{Tab}R. Quillon{Enter}');
    expect(await last()).toEqual({ type: 'signed', by });
    expect(noted).toEqual(['signed']);
    expect(focused()?.textContent).toMatch(/^Signed by R\. Quillon, /);
    await userEvent.keyboard('{Tab}');
    expect(focused()).toBe(button('Print handout'));
    expect(screen.queryByRole('button', { name: 'Sign' })).toBeNull();
    expect(document.querySelector('pre')?.textContent).toMatch(/Reviewed and signed by R\. Quillon, /);
  });

  it('is asked for again after a change', async () => {
    await opens();
    await userEvent.type(screen.getByLabelText('Name of who signs'), 'R. Quillon{Enter}');
    await userEvent.click(button(`Decide otherwise: ${label}`));
    await userEvent.type(screen.getByLabelText('Why'), 'Told me.{Enter}');
    expect(section().textContent).toMatch(/Changed since it was signed by R\. Quillon/);
    await userEvent.click(button('Sign again'));
    expect(section().textContent).toMatch(/Signed by R\. Quillon/);
  });

  it('takes the name of whoever has opened the records, and asks for none', async () => {
    const { last } = await opens({ session: { id: 'rue', name: 'R. Quillon' } });
    expect(screen.queryByLabelText('Name of who signs')).toBeNull();
    expect(section().textContent).toContain('As R. Quillon.');
    await userEvent.click(button('Sign'));
    expect(await last()).toEqual({ type: 'signed', by: { name: 'R. Quillon', id: 'rue' } });
  });

  it('is not offered before the visit is over', async () => {
    const { desk, visit, facts } = await opens({ finished: false });
    expect(section().textContent).toContain('It can be signed when it has ended.');
    expect(screen.queryByRole('button', { name: 'Sign' })).toBeNull();
    await expect(desk.add(visit, [{ type: 'signed' }], 'R. Quillon')).rejects.toThrow('not over');
    expect((await facts()).at(-1)?.type).toBe('question');
  });

  it('is not stored when the trail cannot be written', async () => {
    const note = async () => {
      throw new Error('The disk is full.');
    };
    const { facts } = await opens({ note });
    const before = await facts();
    await userEvent.type(screen.getByLabelText('Name of who signs'), 'R. Quillon{Enter}');
    expect(screen.getByRole('alert').textContent).toBe('The disk is full.');
    expect(await facts()).toEqual(before);
    expect(section().textContent).toContain('Not signed yet.');
  });
});
