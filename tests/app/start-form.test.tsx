// @vitest-environment happy-dom
import { cleanup, fireEvent, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { readSite } from '../../src/app/site';
import type { LanguagePacks } from '../../src/app/staff/Pack';
import { StartForm } from '../../src/app/staff/StartForm';
import type { VisitStart } from '../../src/records/schema';

afterEach(cleanup);

const inhaler = await loadLesson('inhaler-spacer', 'en');

async function opens(pack?: LanguagePacks, lessons: FullLesson[] = [inhaler]) {
  const onStart = vi.fn<(start: VisitStart) => void>();
  const lesson = inhaler;
  render(
    <StartForm
      site={readSite('{}').site}
      lessons={lessons}
      ears={async () => 'Hears by the built-in recogniser.'}
      {...(pack ? { pack } : {})}
      onStart={onStart}
      onCancel={() => {}}
    />,
  );
  await userEvent.type(screen.getByLabelText('Name or initials'), ' R. T. ');
  await userEvent.type(screen.getByLabelText('Bed'), '12');
  await userEvent.type(screen.getByLabelText('Your name'), 'J. Moss');
  return { onStart, lesson, start: () => userEvent.click(screen.getByRole('button', { name: 'Start' })) };
}

describe('the start form', () => {
  it('hands over who learns, how, what, and what is particular', async () => {
    const { onStart, lesson, start } = await opens();
    await userEvent.click(screen.getByLabelText('Caregiver'));
    await userEvent.type(screen.getByLabelText('Relation to the patient'), 'daughter');
    await userEvent.click(screen.getByLabelText('Hearing'));
    await userEvent.selectOptions(screen.getByLabelText('Learns best by'), 'doing');
    await userEvent.click(screen.getByLabelText('Rinse your mouth'));
    await userEvent.type(screen.getByLabelText('Medicine, as labelled'), 'the blue one');
    await start();
    expect(onStart).toHaveBeenCalledOnce();
    expect(onStart.mock.calls[0]![0]).toMatchObject({
      practice: false,
      ward: 'Harbor 4',
      bed: '12',
      learner: { role: 'caregiver', name: 'R. T.', relation: 'daughter' },
      barriers: ['hearing'],
      prefers: 'doing',
      module: 'inhaler-spacer',
      steps: lesson.module.steps.map((step) => step.id).filter((id) => id !== 'after'),
      particulars: { medicine: 'the blue one', callNumber: '555-0142', emergencyNumber: '911' },
    });
  });

  it('hands over how the screen is worked by who has no speech or no fine hands', async () => {
    const { onStart, start } = await opens();
    await userEvent.click(screen.getByLabelText('Without speech: cards or typing'));
    await userEvent.selectOptions(screen.getByLabelText('Works the screen by'), 'two');
    const seconds = screen.getByLabelText('With one switch: seconds for each button');
    await userEvent.clear(seconds);
    await userEvent.type(seconds, '3.5');
    await start();
    expect(onStart.mock.calls[0]![0]).toMatchObject({
      answers: 'touch',
      switches: { keys: 'two', each: 3500 },
    });
  });

  it('says nothing of switches where none is used', async () => {
    const { onStart, start } = await opens();
    await start();
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('switches');
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('answers');
  });

  it('says which ear there is, and that the texts are not reviewed', async () => {
    await opens();
    expect(await screen.findByText('Hears by the built-in recogniser.')).toBeTruthy();
    expect(screen.getByText('These texts have not been reviewed by a qualified person.')).toBeTruthy();
  });

  it('does not start with nothing to teach, and says so', async () => {
    const { onStart, lesson, start } = await opens();
    for (const step of lesson.module.steps) {
      await userEvent.click(screen.getByLabelText(lesson.teaching.steps[step.id]!.title));
    }
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByText('Choose at least one part to teach.')).toBeTruthy();
    expect(document.activeElement).toBe(
      screen.getByLabelText(lesson.teaching.steps[lesson.module.steps[0]!.id]!.title),
    );
    expect(screen.getByRole('alert').textContent).toBe('One field above needs something.');
  });

  it('offers the language pack only where it can be had, and says what came of it', async () => {
    let there = false;
    const install = vi.fn(async () => {
      there = true;
      return 'The language pack is installed.';
    });
    await opens({ offered: async () => !there, install });
    const button = await screen.findByRole('button', {
      name: "Install the browser's language pack: English",
    });
    expect(install).not.toHaveBeenCalled();
    await userEvent.click(button);
    expect(install).toHaveBeenCalledExactlyOnceWith('en');
    expect(await screen.findByText('The language pack is installed.')).toBeTruthy();
    expect(screen.queryByRole('button', { name: /language pack/ })).toBeNull();
  });

  it('keeps the button when the pack did not come', async () => {
    await opens({ offered: async () => true, install: async () => 'No answer within 30 seconds.' });
    await userEvent.click(await screen.findByRole('button', { name: /language pack/ }));
    expect(await screen.findByText('No answer within 30 seconds.')).toBeTruthy();
    expect(screen.getByRole<HTMLButtonElement>('button', { name: /language pack/ }).disabled).toBe(false);
  });

  it('has no such button where no pack is to be had', async () => {
    await opens({ offered: async () => false, install: async () => '' });
    await screen.findByText('Hears by the built-in recogniser.');
    expect(screen.queryByRole('button', { name: /language pack/ })).toBeNull();
  });
});

describe('what a field needs', () => {
  it('is said beside it, the first one takes the focus, and it goes when the field is written in', async () => {
    const { onStart, start } = await opens();
    const [name, bed] = [screen.getByLabelText('Name or initials'), screen.getByLabelText('Bed')];
    await userEvent.clear(name);
    await userEvent.clear(bed);
    await userEvent.type(bed, '  ');
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(document.activeElement).toBe(name);
    const says = (field: Element) =>
      document.getElementById(field.getAttribute('aria-describedby') ?? '')?.textContent;
    expect(says(name)).toBe('Enter the name or the initials of who learns.');
    expect(says(bed)).toBe('Enter the bed.');
    expect(screen.getByRole('alert').textContent).toBe('2 fields above need something.');
    await userEvent.type(name, 'R');
    expect(says(name)).toBeUndefined();
    expect(says(bed)).toBe('Enter the bed.');
  });

  it('is told of the seconds of a switch', async () => {
    const { onStart, start } = await opens();
    await userEvent.selectOptions(screen.getByLabelText('Works the screen by'), 'one');
    const seconds = screen.getByLabelText('With one switch: seconds for each button');
    await userEvent.clear(seconds);
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByText('Enter a number of seconds from 0.3 to 60.')).toBeTruthy();
    expect(document.activeElement).toBe(seconds);
  });
});

it('readiness is handed over when it is entered, and else is not', async () => {
  const { onStart, start } = await opens();
  await start();
  expect(onStart.mock.calls[0]![0]).not.toHaveProperty('readiness');
  await userEvent.selectOptions(screen.getByLabelText('Readiness to learn'), 'not-now');
  await start();
  expect(onStart.mock.calls[1]![0].readiness).toBe('not-now');
});

describe('several lessons', async () => {
  const [oxygen, nebulizer, french] = await Promise.all([
    loadLesson('home-oxygen', 'en'),
    loadLesson('nebulizer', 'en'),
    loadLesson('nebulizer', 'fr'),
  ]);
  const all = [oxygen, inhaler, nebulizer, french];
  const tick = (name: string | RegExp) => userEvent.click(screen.getByRole('checkbox', { name }));

  it('are chosen by hand: none is taught that nobody chose', async () => {
    const { onStart, start } = await opens(undefined, all);
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByText('Choose at least one lesson to teach.')).toBeTruthy();
    expect(document.activeElement).toBe(screen.getByRole('checkbox', { name: oxygen.teaching.title }));
  });

  it('follow one another as they were chosen, each with its own parts and medicine', async () => {
    const { onStart, start } = await opens(undefined, all);
    await tick(nebulizer.teaching.title);
    await tick(inhaler.teaching.title);
    await tick('Rinse your mouth');
    await tick(oxygen.teaching.title);
    expect(screen.getByRole('checkbox', { name: `${inhaler.teaching.title} (lesson 2 of 3)` })).toBeTruthy();
    const medicine = (of: FullLesson) => screen.getByLabelText(`Medicine, as labelled: ${of.teaching.title}`);
    await userEvent.type(medicine(nebulizer), 'the clear one');
    await userEvent.type(medicine(inhaler), 'the blue one');
    // Oxygen speaks of none.
    expect(screen.getAllByLabelText(/^Medicine/)).toHaveLength(2);
    await start();
    const handed = onStart.mock.calls[0]![0];
    expect(handed).toMatchObject({
      module: 'nebulizer',
      particulars: { medicine: 'the clear one' },
      sitting: { index: 0, follows: false },
    });
    expect(handed.sitting!.toCome).toMatchObject([
      {
        module: 'inhaler-spacer',
        steps: inhaler.module.steps.map(({ id }) => id).filter((id) => id !== 'after'),
        particulars: { medicine: 'the blue one' },
      },
      { module: 'home-oxygen', steps: oxygen.module.steps.map(({ id }) => id) },
    ]);
  });

  it('are no sitting when there is one', async () => {
    const { onStart, start } = await opens(undefined, all);
    await tick(oxygen.teaching.title);
    await start();
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('sitting');
  });

  it('are those of the language, and what was chosen stays where it is taught in both', async () => {
    const { onStart, start } = await opens(undefined, all);
    await tick(nebulizer.teaching.title);
    await tick(oxygen.teaching.title);
    await userEvent.selectOptions(screen.getByLabelText('Language'), 'fr');
    expect(screen.queryByText(oxygen.teaching.title)).toBeNull();
    await start();
    expect(onStart.mock.calls[0]![0]).toMatchObject({ module: 'nebulizer', language: 'fr' });
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('sitting');
  });

  it('say so beside them when no part of one is left', async () => {
    const { onStart, start } = await opens(undefined, all);
    await tick(oxygen.teaching.title);
    for (const { title } of Object.values(oxygen.teaching.steps)) await tick(title);
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByText('Choose at least one part to teach.')).toBeTruthy();
  });
});

describe('a scanner', () => {
  const field = () => screen.getByLabelText<HTMLInputElement>(/^Record number of the patient/);
  let at = 0;
  /** Keys with so many ms between them, and what a browser makes of each. */
  const strike = (keys: readonly string[], gap: number) => {
    at += 1000;
    for (const key of keys) {
      at += gap;
      const target = document.activeElement ?? document.body;
      const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true });
      Object.defineProperty(event, 'timeStamp', { value: at });
      if (fireEvent(target, event)) pass(key, target);
    }
  };
  const pass = (key: string, target: Element) => {
    if (target instanceof HTMLSelectElement) {
      const found = [...target.options].find(({ text }) => text.toLowerCase().startsWith(key));
      if (found) fireEvent.change(target, { target: { value: found.value } });
    } else if (target instanceof HTMLButtonElement || (target as HTMLInputElement).type === 'checkbox') {
      if (key === ' ' || (key === 'Enter' && target instanceof HTMLButtonElement)) fireEvent.click(target);
    } else if (target instanceof HTMLInputElement) {
      if (key === 'Enter') target.form?.requestSubmit();
      else fireEvent.input(target, { target: { value: target.value + key } });
    }
  };
  const scan = (text: string) => strike([...text, 'Enter'], 8);
  const said = () => screen.getByText(/^Scanned: /).textContent;

  it('fills the field of the record number, replaces what was there, and does not start the visit', async () => {
    const { onStart, start } = await opens();
    await userEvent.type(field(), 'old');
    scan(']C100417');
    expect(field().value).toBe(']C100417');
    expect(said()).toBe('Scanned: ]C100417. Compare it with the wristband.');
    expect(onStart).not.toHaveBeenCalled();
    await start();
    expect(onStart.mock.calls[0]![0].recordNumber).toBe(']C100417');
  });

  it('is heard while nothing has the focus', async () => {
    const { onStart } = await opens();
    (document.activeElement as HTMLElement).blur();
    scan('00417');
    expect(field().value).toBe('00417');
    expect(onStart).not.toHaveBeenCalled();
  });

  it('is heard while another field has the focus, which keeps it and what was in it', async () => {
    const { onStart } = await opens();
    const bed = screen.getByLabelText<HTMLInputElement>('Bed');
    bed.focus();
    scan('00417');
    expect(bed.value).toBe('12');
    expect(field().value).toBe('00417');
    expect(document.activeElement).toBe(bed);
    expect(onStart).not.toHaveBeenCalled();
  });

  it('chooses nothing and presses nothing that has the focus', async () => {
    const { onStart, start } = await opens();
    const ways = screen.getByLabelText<HTMLSelectElement>('Learns best by');
    ways.focus();
    scan('doing4');
    expect(ways.value).toBe('listening');
    const hearing = screen.getByLabelText<HTMLInputElement>('Hearing');
    hearing.focus();
    scan('417 9');
    expect(hearing.checked).toBe(false);
    expect(field().value).toBe('417 9');
    screen.getByRole('button', { name: 'Start' }).focus();
    scan('00417');
    expect(onStart).not.toHaveBeenCalled();
    expect(field().value).toBe('00417');
    await start();
    expect(onStart.mock.calls[0]![0]).toMatchObject({ prefers: 'listening', recordNumber: '00417' });
  });

  it('is not who types at the pace of people: Enter starts the visit from any other field', async () => {
    const { onStart } = await opens();
    screen.getByLabelText('Bed').focus();
    strike([...'3456', 'Enter'], 60);
    expect(onStart.mock.calls[0]![0]).toMatchObject({ bed: '123456' });
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('recordNumber');
  });

  it('that is slow writes into its field only, and its Enter goes on to the next one', async () => {
    const { onStart } = await opens();
    field().focus();
    strike([...'00417', 'Enter'], 60);
    expect(field().value).toBe('00417');
    expect(onStart).not.toHaveBeenCalled();
    expect(document.activeElement).toBe(screen.getByLabelText('Your name'));
  });

  it('says what is wrong with a number that is too long, and keeps none of it', async () => {
    const { start, onStart } = await opens();
    scan('9'.repeat(81));
    expect(screen.getByText('That scan has 81 characters; a record number has 80 at most.')).toBeTruthy();
    expect(field().value).toBe('');
    await start();
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('recordNumber');
  });
});
