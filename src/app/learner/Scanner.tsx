import { useEffect, useRef } from 'react';
import { type Actor, createActor } from 'xstate';
import { scanMachine } from '../../../machines/scan';
import type { VisitStart } from '../../records/types';
import './Scanner.css';
import { calledName, mainButton, scannedThings } from './scanned';

/** What a switch interface sends; common practice is one of these two keys. */
const keyMeans = {
  one: { ' ': 'CHOOSE', Enter: 'CHOOSE' },
  two: { ' ': 'NEXT', Enter: 'CHOOSE' },
} as const;

/**
 * For those who press one or two switches: points at the buttons of the screen one after the other, by focus and
 * by `data-scanned`, and presses the one that is chosen. It has the space bar and Enter for itself, save where
 * somebody types.
 */
export function Scanner({
  switches: { keys, each },
  settles,
  rate,
  name,
  held,
}: {
  switches: NonNullable<VisitStart['switches']>;
  /** See ScanTimings. */
  settles: number;
  /** Of the voice: who wants it slower gets more time for each thing too. */
  rate: number;
  /** By ear: says a name and resolves when it has been said; null: nothing is named. */
  name: ((text: string) => Promise<void>) | null;
  /** By ear: the kiosk speaks or listens now. */
  held: boolean;
}) {
  const named = name !== null;
  const says = useRef(name);
  says.current = name;
  const scan = useRef<Actor<typeof scanMachine> | null>(null);

  useEffect(() => {
    const actor = createActor(scanMachine, { input: { keys, each, settles, named } });
    scan.current = actor;
    let things: HTMLButtonElement[] = [];
    let pointed: HTMLButtonElement | null = null;
    const look = () => {
      const now = scannedThings(document);
      if (now.length === things.length && now.every((thing, i) => thing === things[i])) return;
      things = now;
      const index = pointed ? now.indexOf(pointed) : -1;
      actor.send({ type: 'ITEMS', count: now.length, index: index < 0 ? null : index });
    };
    const point = (thing: HTMLButtonElement | null) => {
      if (thing === pointed) return;
      pointed?.removeAttribute('data-scanned');
      pointed = thing;
      thing?.setAttribute('data-scanned', '');
      thing?.focus();
    };
    let naming = '';
    actor.subscribe(({ context: { index, rounds }, value }) => {
      point(index === null ? null : (things[index] ?? null));
      const now = typeof value === 'object' && value.pointing === 'naming' ? `${index} ${rounds}` : '';
      if (now === naming) return;
      naming = now;
      if (now === '' || !pointed) return;
      says.current?.(calledName(pointed)).then(() => {
        if (naming === now) actor.send({ type: 'NAMED' });
      });
    });
    actor.on('chosen', ({ index }) => things[index]?.click());
    actor.on('main', () => mainButton(document)?.click());
    actor.start();
    look();
    const watch = new MutationObserver(look);
    watch.observe(document.body, {
      subtree: true,
      childList: true,
      attributes: true,
      attributeFilter: ['disabled', 'open'],
    });
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      if (event.key !== ' ' && event.key !== 'Enter') return;
      if (event.target instanceof Element && event.target.closest('input, select, textarea')) return;
      // The button that has the focus must not take it as well; a space does so when it is let go.
      event.preventDefault();
      if (event.type === 'keydown' && !event.repeat) actor.send({ type: keyMeans[keys][event.key] });
    };
    document.addEventListener('keydown', press, { capture: true });
    document.addEventListener('keyup', press, { capture: true });
    return () => {
      document.removeEventListener('keydown', press, { capture: true });
      document.removeEventListener('keyup', press, { capture: true });
      watch.disconnect();
      point(null);
      actor.stop();
    };
  }, [keys, each, settles, named]);

  useEffect(() => scan.current?.send({ type: 'EACH', each: each / rate }), [each, rate]);
  useEffect(() => scan.current?.send({ type: held ? 'HOLD' : 'FREE' }), [held]);
  return null;
}
