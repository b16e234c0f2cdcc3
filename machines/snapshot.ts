import type { AnyActorRef, AnyEventObject } from 'xstate';

/** What a parent keeps of the machine inside it, for the view alone. */
export interface SnapshotOf {
  value: unknown;
  // biome-ignore lint/suspicious/noExplicitAny: each depth has its own context; view.ts knows which.
  context: any;
}

/** The sentences of a `say` that has ended stay shown, and none of them sounds. */
export const silenced = (inner: SnapshotOf | null): SnapshotOf | null =>
  inner && { ...inner, context: { ...inner.context, index: -1 } };

/**
 * Hands an event to the machine inside, if one runs: a button that means nothing just now does nothing.
 * (`sendTo` would fail without one.)
 */
export const sendInner = (self: AnyActorRef, event: AnyEventObject): void => {
  const inner: AnyActorRef | undefined = self.getSnapshot().children?.inner;
  if (inner?.getSnapshot().status === 'active') inner.send(event);
};
