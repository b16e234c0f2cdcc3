// @vitest-environment happy-dom
import { cleanup, fireEvent, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { type Place, VisitTable } from '../../src/app/staff/VisitTable';
import { inventedId } from '../../src/records/invented';
import type { VisitHeader } from '../../src/records/types';

afterEach(cleanup);

/** One a day, newest first, the newest on 30 June 2026 at noon of this device. */
const visits = (count: number): VisitHeader[] =>
  Array.from({ length: count }, (_, index) => {
    const at = new Date(2026, 5, 30 - index, 12).toISOString();
    return {
      visit: `v${index}`,
      practice: false,
      startedAt: at,
      lastAt: at,
      finished: 'completed',
      next: 9,
      signed: 'yes',
    };
  });

const show = (count: number, place?: Place) => {
  const onOpen = vi.fn();
  render(<VisitTable visits={visits(count)} outbox={null} place={place} onOpen={onOpen} onGoOn={() => {}} />);
  return onOpen;
};
const rows = () => screen.queryAllByRole('row').map((row) => row.getAttribute('data-visit'));
const status = () => screen.getByRole('status').textContent;
const upTo = (day: string) =>
  fireEvent.change(screen.getByLabelText('Show this day and before'), { target: { value: day } });

describe('the list of visits', () => {
  it('shows all of a few, and asks nothing', () => {
    show(50);
    expect(rows()).toHaveLength(50);
    expect(screen.queryByRole('button', { name: 'Show more' })).toBe(null);
    expect(screen.queryByLabelText('Show this day and before')).toBe(null);
  });

  it('shows the newest fifty of many, then fifty more, with the focus on the first of those', async () => {
    show(120);
    expect(rows()).toHaveLength(50);
    expect(rows()[0]).toBe('v0');
    expect(status()).toBe('Shown: 50 of 120 visits, newest first.');
    const more = screen.getByRole('button', { name: 'Show more' });
    more.focus();
    await userEvent.keyboard('{Enter}');
    expect(rows()).toHaveLength(100);
    expect(document.activeElement?.closest('tr')?.getAttribute('data-visit')).toBe('v50');
    await userEvent.click(more);
    expect(rows()).toHaveLength(120);
    expect(document.activeElement?.closest('tr')?.getAttribute('data-visit')).toBe('v100');
    expect(screen.queryByRole('button', { name: 'Show more' })).toBe(null);
  });

  it('finds older ones by their day, that day included', () => {
    show(120);
    upTo('2026-05-31');
    expect(rows()[0]).toBe('v30');
    expect(rows()).toHaveLength(50);
    upTo('2026-01-01');
    expect(rows()).toEqual([]);
    expect(status()).toBe('No visit is as old as that.');
    upTo('');
    expect(rows()[0]).toBe('v0');
  });

  it('is where staff left it when they come back from a visit', async () => {
    const place: Place = { until: '', toSign: false, shown: 0, opened: '' };
    const onOpen = show(200, place);
    upTo('2026-06-20');
    await userEvent.click(screen.getByRole('button', { name: 'Show more' }));
    await userEvent.click(screen.getAllByRole('button', { name: 'Open' })[70]!);
    expect(onOpen).toHaveBeenCalledWith('v80');
    cleanup();
    show(200, place);
    expect(rows()).toHaveLength(100);
    expect(rows()[0]).toBe('v10');
    expect(document.activeElement?.closest('tr')?.getAttribute('data-visit')).toBe('v80');
  });

  it('tells of a re-check that is due, and offers the lesson that is still to come', async () => {
    const onNext = vi.fn();
    const none = { recheck: null, toCome: null, title: '' };
    const followUps = new Map([
      ['v0', { ...none, recheck: { at: new Date(2026, 5, 30, 9).toISOString(), due: true } }],
      ['v1', { ...none, recheck: { at: new Date(2026, 6, 1, 9).toISOString(), due: false } }],
      ['v2', { ...none, toCome: { module: 'oxygen', language: 'en' }, title: 'Oxygen at home' }],
    ]);
    render(
      <VisitTable
        visits={visits(4)}
        outbox={null}
        followUps={followUps}
        onOpen={() => {}}
        onGoOn={() => {}}
        onNext={onNext}
      />,
    );
    const told = screen.getAllByRole('row').map(({ textContent }) => textContent?.replace(/\u202f/g, ' '));
    expect(told[0]).toContain('re-check due since Jun 30, 2026, 9:00 AM: open it');
    expect(told[1]).toContain('re-check from Jul 1, 2026, 9:00 AM on');
    expect(told[2]).toContain('still to come: Oxygen at home');
    expect(told[3]).not.toMatch(/re-check|to come/);
    await userEvent.click(screen.getByRole('button', { name: 'Begin the next lesson' }));
    expect(onNext).toHaveBeenCalledExactlyOnceWith('v2');
  });

  describe('of visits to be signed', () => {
    const more: Partial<VisitHeader>[] = [
      { signed: 'no' },
      { signed: 'yes' },
      { signed: 'changed' },
      { signed: undefined },
      { signed: 'no', practice: true },
      { signed: 'no', finished: null },
      { signed: 'no', visit: inventedId(1) },
    ];
    const some = (change: Partial<VisitHeader>[] = more) =>
      visits(change.length).map((visit, at) => ({ ...visit, ...change[at] }));
    const look = (list = some(), place?: Place) =>
      render(<VisitTable visits={list} outbox={null} place={place} onOpen={() => {}} onGoOn={() => {}} />);
    const only = () => screen.getByRole<HTMLInputElement>('checkbox');

    it('says of each how far it is, but not of what nobody signs', () => {
      look();
      const told = screen.getAllByRole('row').map((row) => row.children[3]?.textContent);
      expect(told).toEqual([
        ...['not signed', 'signed', 'changed since it was signed', 'open it to see whether it is signed'],
        ...['', '', ''],
      ]);
    });

    it('shows only those on demand, with their number, together with a day', async () => {
      look();
      expect(only().labels?.[0]?.textContent?.trim()).toBe('Only visits still to be signed (3)');
      expect(status()).toBe('Shown: 7 of 7 visits, newest first.');
      await userEvent.click(only());
      expect(rows()).toEqual(['v0', 'v2', 'v3']);
      expect(status()).toBe('Shown: 3 of 3 visits, newest first.');
      await userEvent.click(only());
      expect(rows()).toHaveLength(7);
      cleanup();
      look(visits(60).map((visit, at) => ({ ...visit, signed: at % 20 === 0 ? 'no' : 'yes' })));
      await userEvent.click(only());
      upTo('2026-06-20');
      expect(rows()).toEqual(['v20', 'v40']);
      expect(status()).toBe('Shown: 2 of 3 visits, newest first.');
    });

    it('asks nothing where all are signed', () => {
      look(some([{ signed: 'yes' }, { practice: true, signed: 'no' }]));
      expect(screen.queryByRole('checkbox')).toBe(null);
      expect(screen.queryByRole('status')).toBe(null);
    });

    it('keeps to them when staff come back, and the focus in sight when the last one was signed', async () => {
      const place: Place = { until: '', toSign: false, shown: 0, opened: '' };
      look(some([{ signed: 'no' }, {}]), place);
      await userEvent.click(only());
      await userEvent.click(screen.getByRole('button', { name: 'Open' }));
      cleanup();
      look(some([{ signed: 'yes' }, {}]), place);
      expect(only().checked).toBe(true);
      expect(rows()).toEqual([]);
      expect(status()).toBe('All visits that have ended are signed.');
      expect(document.activeElement).toBe(only());
      await userEvent.click(only());
      expect(rows()).toEqual(['v0', 'v1']);
    });
  });
});
