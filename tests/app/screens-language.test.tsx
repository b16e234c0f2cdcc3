// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import type { ReactNode } from 'react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { createActor } from 'xstate';
import { kioskMachine } from '../../machines';
import { fill } from '../../machines/script';
import type { Card, VisitScreen, VisitView } from '../../machines/types';
import { KioskPage } from '../../src/app/KioskPage';
import type { Kiosk } from '../../src/app/kiosk';
import { StillThere } from '../../src/app/learner/Away';
import { Learner } from '../../src/app/learner/Learner';
import { Summary } from '../../src/app/learner/Summary';
import { loadCommon } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { directionOf, nameOf } from '../../src/app/shared/language';
import { WordsOf } from '../../src/app/shared/words';
import { readSite } from '../../src/app/site';
import { Idle } from '../../src/app/staff/Idle';
import type { KioskState } from '../../src/app/state';
import type { Summary as SummaryModel } from '../../src/records/summary';
import { atRest, openScreens } from './view';

afterEach(cleanup);

/* What the visit brings along is named «...», so that any other word on a screen must be one of its language. */

const view: VisitView = {
  ...atRest,
  step: { id: 'puff', title: '«title»', picture: 'p.svg', pictureText: '«seen»', index: 2, count: 7 },
  captions: ['«before»', '«now»'],
  speaking: 1,
  interim: '«interim»',
  heard: { text: '«heard»', confidence: 0.4, alternatives: [], engine: 'embedded' },
  question: '«question»',
  asked: ['a'],
  trouble: 'denied',
  help: 'learner',
};
const cards: Card[] = [{ concept: 'a', text: '«card»' }];
const summary: SummaryModel = {
  language: 'es',
  sentences: [],
  well: ['«well»'],
  person: ['«person»'],
  rows: [],
  counts: {} as never,
  cautions: [],
};

const screens: VisitScreen[] = [...openScreens, 'help'];
const ears: VisitView['listening'][] = [
  'off',
  'opening',
  'waiting',
  'hearing',
  'pausing',
  'take-your-time',
  'closing',
];
const nothing = () => {};
const end = (change: Partial<VisitView>) => (
  <Summary
    view={{ ...view, ...change }}
    send={nothing}
    summary={summary}
    onPrint={nothing}
    onSave={nothing}
    onClinician={nothing}
    onClose={nothing}
  />
);

const shown: [string, ReactNode][] = [
  ...screens.flatMap((name) =>
    ears.flatMap((listening) =>
      ([null, 'answer', 'yes-no'] as const).map((expects): [string, ReactNode] => [
        `${name}, ear ${listening}, expects ${expects}`,
        <Learner
          key={name}
          view={{ ...view, screen: name, listening, expects }}
          send={nothing}
          cards={cards}
          points={[{ id: 'shake', text: '«point»' }]}
        />,
      ]),
    ),
  ),
  ['summary', end({ screen: 'summary', unsaved: 2 })],
  ['summary, asking', end({ screen: 'summary', expects: 'yes-no', listening: 'waiting' })],
  ['ended', end({ screen: 'ended' })],
  ['still there?', <StillThere key="" text="«still there»" onTouch={nothing} onHelp={nothing} />],
];

/** All that can be seen or is read aloud. */
function texts(): string[] {
  const found: string[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) found.push(walker.currentNode.textContent!.trim());
  for (const element of document.body.querySelectorAll('*'))
    for (const name of ['aria-label', 'alt', 'placeholder', 'title'])
      found.push(element.getAttribute(name)?.trim() ?? '');
  return found.filter(Boolean);
}

const all = await Promise.all(['en', 'es', 'fr'].map(loadCommon));

describe.each(all)("the learner's screens of a visit in $language", (common) => {
  const { language, screens: words } = common;
  const { listening, ...flat } = words;
  const known = new Set<string>([
    ...Object.values(flat),
    ...Object.values(listening),
    fill(words.step, { index: '3', count: '7' }),
    fill(words.pictureOf, { text: '«seen»' }),
    fill(words.pageOf, { index: '1', count: '1' }),
    'Ownwords',
  ]);

  it('hold no word but those of its language and of the visit', () => {
    // One after the other in the same place, as in a visit; each screen is drawn anew.
    const { rerender } = render(<WordsOf value={words}>{null}</WordsOf>);
    for (const [name, node] of shown) {
      rerender(<WordsOf value={words}>{node}</WordsOf>);
      const seen = texts();
      expect(seen.length, name).toBeGreaterThan(0);
      expect(
        seen.filter((text) => !known.has(text) && !/^«[^»]*»( «[^»]*»)*$/.test(text)),
        name,
      ).toEqual([]);
    }
  });

  it('begin with an idle screen in that language', () => {
    render(
      <WordsOf value={words}>
        <Idle
          language={language}
          languages={['en', 'es', 'fr']}
          onLanguage={nothing}
          onPractice={nothing}
          onStart={nothing}
          onVisits={nothing}
          notices={[]}
        />
      </WordsOf>,
    );
    const names = ['Ownwords', 'English', 'Español', 'Français'];
    expect(texts().filter((text) => !known.has(text) && !names.includes(text))).toEqual([]);
  });

  it('are those of its practice visit', () => {
    const start = practiceStart(readSite('{}').site, {
      module: { id: 'm', version: '1', steps: [], showMe: [], sources: [] },
      common,
    });
    expect(start.language).toBe(language);
    expect(start.learner.name).toBe(words.practiceLearner);
  });
});

describe('the languages of the idle screen', () => {
  const opens = (languages: string[]) => {
    const onLanguage = vi.fn<(language: string) => void>();
    render(
      <WordsOf value={all[0]!.screens}>
        <Idle
          language="en"
          languages={languages}
          onLanguage={onLanguage}
          onPractice={nothing}
          onStart={nothing}
          onVisits={nothing}
          notices={['site.json: a notice']}
        />
      </WordsOf>,
    );
    return onLanguage;
  };

  it('are named in their own words, each marked as being in that language', async () => {
    const onLanguage = opens(['en', 'es', 'fr']);
    const spanish = screen.getByRole('button', { name: 'Español' });
    expect(spanish.lang).toBe('es');
    expect(spanish.getAttribute('aria-pressed')).toBe('false');
    expect(screen.getByRole('button', { name: 'English' }).getAttribute('aria-pressed')).toBe('true');
    await userEvent.click(spanish);
    expect(onLanguage).toHaveBeenCalledExactlyOnceWith('es');
  });

  it('are no choice where there is one only', () => {
    opens(['en']);
    expect(screen.queryByRole('group', { name: 'Language' })).toBeNull();
  });

  it('leave what is told to staff marked as English', () => {
    opens(['en', 'es']);
    expect(screen.getByText('site.json: a notice').closest('[lang]')?.getAttribute('lang')).toBe('en');
  });
});

describe('the idle kiosk', () => {
  const kiosk = () => {
    const speakIdle = vi.fn<(language: string) => void>();
    const actor = createActor(kioskMachine, { input: { timings: site.timings } }).start();
    return {
      speakIdle,
      kiosk: { actor, speakIdle, present: nothing, records: { list: nothing } } as unknown as Kiosk,
    };
  };
  const { site } = readSite('{}');
  const shows = (common: (typeof all)[number] | undefined, notices: string[] = []): KioskState => ({
    page: { at: 'kiosk' },
    idle: common ? { common, languages: ['en', 'es', 'fr'] } : null,
    site,
    outbox: null,
    notices,
  });

  afterEach(() => vi.useRealTimers());

  it('says in which language it stands, and speaks that of the site again when nobody came', () => {
    vi.useFakeTimers();
    const { kiosk: one, speakIdle } = kiosk();
    render(<KioskPage kiosk={one} state={shows(all[1])} />);
    expect(document.documentElement.lang).toBe('es');
    vi.advanceTimersByTime(site.timings.inactive - 1);
    expect(speakIdle).not.toHaveBeenCalled();
    vi.advanceTimersByTime(1);
    expect(speakIdle).toHaveBeenCalledExactlyOnceWith('en');
    cleanup();
    expect(document.documentElement.lang).toBe('en');
  });

  it('stays as it is in the language of the site', () => {
    vi.useFakeTimers();
    const { kiosk: one, speakIdle } = kiosk();
    render(<KioskPage kiosk={one} state={shows(all[0])} />);
    vi.advanceTimersByTime(10 * site.timings.inactive);
    expect(speakIdle).not.toHaveBeenCalled();
  });

  it('tells staff what is the matter even when it has no words at all', () => {
    render(<KioskPage kiosk={kiosk().kiosk} state={shows(undefined, ['common/en.json cannot be used'])} />);
    expect(screen.getByText('common/en.json cannot be used')).toBeTruthy();
  });
});

describe('a language', () => {
  it('is named in its own script', () => {
    expect(['en', 'es', 'fr', 'ru', 'zh'].map(nameOf)).toEqual([
      'English',
      'Español',
      'Français',
      'Русский',
      '中文',
    ]);
  });

  it('runs in the direction of its script', () => {
    // Unicode CLDR, characterOrder of the locales.
    expect(['en', 'es', 'fr', 'ru', 'zh'].map(directionOf)).toEqual(Array(5).fill('ltr'));
    expect(['ar', 'fa', 'he', 'ur', 'dv', 'ps'].map(directionOf)).toEqual(Array(6).fill('rtl'));
  });
});
