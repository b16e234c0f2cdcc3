// @vitest-environment happy-dom
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { act, cleanup, render, screen } from '@testing-library/react';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Followed } from '../../../src/app/follow/channel';
import { Following } from '../../../src/app/follow/Following';
import { FollowPage } from '../../../src/app/follow/FollowPage';
import type { FollowView } from '../../../src/app/follow/followView';

const heard = vi.hoisted(() => ({ tell: (_: unknown) => {}, calls: 0, state: 'running', woken: 0 }));
vi.mock('../../../src/app/follow/channel', () => ({
  follow: (onChange: (followed: unknown) => void) => {
    heard.tell = onChange;
    return () => {};
  },
}));
vi.mock('../../../src/app/services/earcon', () => ({ playCall: () => (heard.calls += 1) }));
vi.mock('../../../src/app/services/sound', () => {
  const audio = Object.defineProperty(new EventTarget(), 'state', { get: () => heard.state });
  return { sound: () => audio, wakeSound: () => (heard.woken += 1) };
});

const help: FollowView = {
  show: 'help',
  language: 'en',
  title: 'Help is coming',
  text: 'Press the button too.',
};
const visit: FollowView = {
  ...{ show: 'visit', language: 'en', title: 'Say it in your own words', listening: 'I am listening' },
  ...{ captions: ['One.', 'Two.'], speaking: 1 },
  step: {
    ...{ title: 'Breathe in and hold', where: 'Step 2 of 5', index: 1, count: 5 },
    ...{ picture: 'inhaler-spacer/hold.svg', pictureText: 'A hand.' },
  },
};
const shows = (followed: Followed, silent = false) =>
  render(<Following followed={followed} silent={silent} />);

beforeEach(() => {
  vi.useFakeTimers();
  Object.assign(heard, { calls: 0, state: 'running', woken: 0 });
});
afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

describe('the following window', () => {
  it('shows the step, the picture, what is said and that the kiosk listens, without anything to press', () => {
    shows({ view: visit, lost: false });
    expect(screen.getByText('Step 2 of 5')).toBeDefined();
    expect(screen.getByRole('img', { name: 'A hand.' }).getAttribute('src')).toBe(
      '/pictures/inhaler-spacer/hold.svg',
    );
    expect(screen.getByText('Two.')).toBeDefined();
    expect(screen.getByRole('status').textContent).toContain('I am listening');
    for (const role of ['button', 'link', 'textbox']) expect(screen.queryByRole(role)).toBeNull();
  });

  it('says that it looks for the kiosk, and that it is lost', () => {
    shows({ view: null, lost: false });
    expect(screen.getByText('Looking for the kiosk …')).toBeDefined();
    cleanup();
    shows({ view: visit, lost: true });
    expect(screen.getByRole('heading', { name: 'The kiosk is lost' })).toBeDefined();
    expect(screen.getByRole('alert').textContent).toContain('Nothing comes from it any more');
    expect(screen.queryByText('Two.')).toBeNull();
  });

  it('keeps a call for help in sight when the kiosk is lost, and says so', () => {
    shows({ view: help, lost: true });
    expect(screen.getByRole('heading', { name: 'Help is coming' })).toBeDefined();
    expect(screen.getByText(/Nothing comes from the kiosk any more. Go there/)).toBeDefined();
  });

  it('has the language of the visit, and English for staff', () => {
    shows({ view: { ...visit, language: 'fr' }, lost: false }, true);
    expect(document.documentElement.lang).toBe('fr');
    expect(screen.getByText(/No sound yet/).getAttribute('lang')).toBe('en');
  });
});

describe('its sound', () => {
  const told = (view: FollowView, lost = false) => act(() => heard.tell({ view, lost }));

  it('calls at once and every 20 seconds, until somebody has come', () => {
    render(<FollowPage />);
    told(visit);
    expect(heard.calls).toBe(0);
    told(help);
    expect(heard.calls).toBe(1);
    act(() => vi.advanceTimersByTime(19_999));
    told({ ...help });
    expect(heard.calls).toBe(1);
    act(() => vi.advanceTimersByTime(1));
    expect(heard.calls).toBe(2);
    told(help, true);
    act(() => vi.advanceTimersByTime(20_000));
    expect(heard.calls).toBe(3);
    told(visit);
    act(() => vi.advanceTimersByTime(60_000));
    expect(heard.calls).toBe(3);
  });

  it('says so while the browser allows none, and begins with a touch', () => {
    heard.state = 'suspended';
    render(<FollowPage />);
    expect(screen.getByText(/No sound yet: touch this screen once/)).toBeDefined();
    const before = heard.woken;
    window.dispatchEvent(new Event('pointerdown'));
    expect(heard.woken).toBe(before + 1);
  });
});

describe('what it is made of', () => {
  /** All files that a file imports by name, however far down; what is only a type is no import. */
  function reaches(file: string, seen = new Set<string>()): Set<string> {
    if (seen.has(file)) return seen;
    seen.add(file);
    const text = readFileSync(file, 'utf8');
    for (const [, from = ''] of text.matchAll(/^(?:import|export) (?!type )[^;]*?from '(\.[^']+)';/gms)) {
      const path = resolve(dirname(file), from);
      const folder = dirname(path);
      const name = readdirSync(folder).find((one) =>
        [`${path}.ts`, `${path}.tsx`, path].some((wanted) => join(folder, one) === wanted && /\./.test(one)),
      );
      if (name && /\.tsx?$/.test(name)) reaches(join(folder, name), seen);
    }
    return seen;
  }

  it('is nothing that hears, nothing that stores and nothing that is the kiosk', () => {
    const root = resolve(import.meta.dirname, '../../..');
    const files = [...reaches(join(root, 'src/app/follow/FollowPage.tsx'))].map((file) =>
      file.slice(root.length + 1),
    );
    expect(files.length).toBeGreaterThan(10);
    const wrong = files.filter((file) =>
      /^src\/(hearing|records|fhir)\/|^src\/app\/(kiosk|ears|recorder)\./.test(file),
    );
    expect(wrong).toEqual([]);
  });
});
