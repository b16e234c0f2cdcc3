import type { EndReason, Heard, HearEvent } from '../../src/hearing/types';
import type { Adjust, Voice } from '../pace';
import type { Home, ListenSends } from '../services';
import type { SnapshotOf } from '../snapshot';
import type { Meaning, Timings, TurnRequest } from '../types';

export interface TurnInput extends Voice {
  home: Home;
  timings: Timings;
  request: TurnRequest;
  /** Said before the ear opens. */
  say: string[];
  /** A typed answer takes the path of a heard one, from there on. */
  typed?: string;
}

export type TurnOutput =
  | { kind: 'heard'; heard: Heard; meaning: Meaning; mode: 'voice' | 'typed' }
  | { kind: 'nothing-heard'; detail?: string }
  | { kind: 'trouble'; reason: EndReason; detail?: string };

export interface TurnContext extends Omit<TurnInput, 'typed'> {
  mode: 'voice' | 'typed';
  /** Said once before what is said anyway. */
  lead: string[];
  heard: Heard | null;
  interim: Heard | null;
  level: number;
  /** The engine tells where speech starts and ends; without, the interim results must do. */
  edges: boolean;
  output: TurnOutput | null;
  inner: SnapshotOf | null;
}

type Prefixed<E> = E extends { type: string } ? Omit<E, 'type'> & { type: `ear.${E['type']}` } : never;
export type TurnEvent =
  | ListenSends
  | Prefixed<HearEvent>
  | { type: 'DONE' }
  | { type: 'GO_ON' }
  | { type: 'AGAIN' }
  | Adjust
  | { type: 'TYPE'; text: string };

/** Any words at all. */
export const said = (heard: Heard | null): heard is Heard => heard !== null && heard.text.trim() !== '';

/** A typed answer, as if it had been heard. */
export const typed = (text: string): Heard => ({ text, confidence: 1, alternatives: [], engine: 'typed' });

/** As a turn begins: typed already, or to be listened to. */
export const firstContext = ({ input: { typed: text, ...input } }: { input: TurnInput }): TurnContext => ({
  ...input,
  mode: text === undefined ? 'voice' : 'typed',
  lead: [],
  heard: text === undefined ? null : typed(text),
  interim: null,
  level: -100,
  edges: false,
  output: null,
  inner: null,
});

/** How the turn ends when something was heard. */
export const heardOutput = (context: TurnContext, meaning: Meaning): TurnOutput => ({
  kind: 'heard',
  heard: context.heard as Heard,
  meaning,
  mode: context.mode,
});
