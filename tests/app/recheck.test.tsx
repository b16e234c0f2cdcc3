// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { Rechecked } from '../../src/app/staff/Rechecked';
import { RecheckForm } from '../../src/app/staff/RecheckForm';
import { derive } from '../../src/records/derive';
import { type RecheckEntry, recheckOf } from '../../src/records/recheck';
import type { VisitFact } from '../../src/records/types';
import { finding, logOf, module, otherId, texts, tried, wholeVisit } from '../records/fixtures';

// The texts shared by all lessons are read from disk, which a page does not have; they are not needed here.
vi.mock('../../phrasebanks/read', () => ({ readCommon: () => ({}) }));

afterEach(cleanup);

const earlier = derive(logOf(wholeVisit), texts);
const begin = () => userEvent.click(screen.getByRole('button', { name: 'Start the re-check' }));

describe('the form of a re-check', () => {
  const opens = () => {
    const onStart = vi.fn<(entry: RecheckEntry) => void>();
    render(<RecheckForm record={earlier} onStart={onStart} onBack={() => {}} />);
    return onStart;
  };

  it('has all that was missed chosen and the bed as it was, and asks for the rest', async () => {
    const onStart = opens();
    expect(screen.getByText(/Ines Marlow, English/)).toBeTruthy();
    await userEvent.click(screen.getByLabelText(/^Lips tight/));
    await userEvent.type(screen.getByLabelText('Your name'), ' Q. Fenn ');
    await userEvent.selectOptions(screen.getByLabelText('Readiness to learn'), 'willing');
    await begin();
    expect(onStart.mock.calls).toEqual([
      [
        {
          visit: expect.stringMatching(/^[0-9a-f-]{36}$/),
          bed: '12',
          staff: 'Q. Fenn',
          concepts: ['lamp.light.shake'],
          readiness: 'willing',
        },
      ],
    ]);
  });

  it('says nothing of readiness that nobody entered', async () => {
    const onStart = opens();
    await userEvent.type(screen.getByLabelText('Your name'), 'Q. Fenn');
    await begin();
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('readiness');
  });

  it('says beside the field what it needs, and takes the focus there', async () => {
    const onStart = opens();
    const name = screen.getByLabelText('Your name');
    await begin();
    expect(onStart).not.toHaveBeenCalled();
    expect(document.activeElement).toBe(name);
    const told = document.getElementById(name.getAttribute('aria-describedby')!);
    expect(told?.textContent).toBe('Enter your name.');
    await userEvent.type(name, 'Q');
    expect(screen.queryByText('Enter your name.')).toBeNull();
    expect(name.hasAttribute('aria-invalid')).toBe(false);
  });

  it('does not start with no point to ask', async () => {
    const onStart = opens();
    await userEvent.type(screen.getByLabelText('Your name'), 'Q. Fenn');
    for (const box of screen.getAllByRole('checkbox')) await userEvent.click(box);
    await begin();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByText('Choose at least one point to ask again.')).toBeTruthy();
    expect(document.activeElement).toBe(screen.getAllByRole('checkbox')[0]);
  });
});

describe('the review', () => {
  const button = () => screen.queryByRole('button', { name: 'Check the missed points again' });

  it('offers a re-check where something was missed', async () => {
    const onRecheck = vi.fn();
    render(<Rechecked record={earlier} onRecheck={onRecheck} />);
    expect(screen.getByText(/A short visit of 2 points, best 48 to 72 hours after/)).toBeTruthy();
    await userEvent.click(button()!);
    expect(onRecheck).toHaveBeenCalledOnce();
  });

  it('offers none of a visit that is not over, or that missed nothing', () => {
    const { rerender } = render(
      <Rechecked record={derive(logOf(wholeVisit.slice(0, -1)), texts)} onRecheck={() => {}} />,
    );
    expect(button()).toBeNull();
    const fine = { ...earlier, steps: [] };
    rerender(<Rechecked record={fine} onRecheck={() => {}} />);
    expect(button()).toBeNull();
  });

  it('tells of a re-check what came of each point then and now', () => {
    const start = recheckOf(earlier, module, {
      visit: otherId,
      bed: '12',
      staff: 'Q. Fenn',
      readiness: 'hesitant',
      concepts: ['lamp.light.shake', 'lamp.light.lips'],
    });
    const facts: VisitFact[] = [
      { type: 'visit-started', start },
      ...tried('light', 1, ['lamp.light.shake', 'lamp.light.lips'], 'shake', [
        finding('lamp.light.shake', 'understood'),
        finding('lamp.light.lips', 'missed'),
      ]),
      { type: 'handed-over', step: 'light', concepts: ['lamp.light.lips'] },
      { type: 'finished', how: 'completed' },
    ];
    render(<Rechecked record={derive(logOf(facts, otherId), texts)} />);
    expect(screen.getByRole('heading').textContent).toMatch(/^Re-check of the visit of Mar 2, 2026/);
    expect(screen.getAllByRole('row').map(({ textContent }) => textContent)).toEqual([
      'PointThenNow',
      'Shake wellneeds a personsaid at once',
      'Lips tightsaid after teaching againneeds a person',
    ]);
    expect(screen.getByText('Readiness to learn, as entered: hesitant.')).toBeTruthy();
  });
});
