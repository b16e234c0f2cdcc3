import { useEffect, useRef } from 'react';
import { Action } from '../shared/Action';
import { unbroken } from '../shared/unbroken';
import { useWords } from '../shared/words';
import styles from './Away.module.css';

/**
 * Nobody did anything for a while: asks by sight, while the voice asks by sound. Any touch is an answer. The
 * browser's own modal dialog keeps focus and screen readers within it.
 */
export function StillThere({
  text,
  onTouch,
  onHelp,
}: {
  text: string;
  onTouch: () => void;
  onHelp: () => void;
}) {
  const words = useWords();
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const opened = dialog.current;
    if (!opened?.open) opened?.showModal();
    return () => opened?.close();
  }, []);
  return (
    <dialog
      ref={dialog}
      className={styles.over}
      role="alertdialog"
      aria-label={text}
      data-away="still-there"
      onCancel={onTouch}
    >
      <h1 className={styles.text}>{unbroken(text)}</h1>
      <Action kind="main" icon="yes" onPress={onTouch}>
        {words.here}
      </Action>
      <Action icon="help" kind="alarm" onPress={onHelp}>
        {words.help}
      </Action>
    </dialog>
  );
}

/** The covered screen shows nothing of the visit. */
export function Cover({
  text,
  go,
  onGo,
  onHelp,
}: {
  text: string;
  /** What the one button does. */
  go: string;
  onGo: () => void;
  onHelp: () => void;
}) {
  const words = useWords();
  return (
    <main className={styles.cover} data-screen="covered" data-away="covered">
      <h1 className={styles.text}>{unbroken(text)}</h1>
      <Action kind="main" icon="next" onPress={onGo}>
        {go}
      </Action>
      <Action icon="help" kind="alarm" turn="first" onPress={onHelp}>
        {words.help}
      </Action>
    </main>
  );
}
