import { useEffect, useState } from 'react';
import { nameOf } from '../shared/language';
import styles from './Staff.module.css';

/** Packs of the browser by which it hears a language on this device. */
export interface LanguagePacks {
  /** Not here, and can be fetched. */
  offered: (language: string) => Promise<boolean>;
  /** Called straight from a press, without which browsers refuse. What happened, in a sentence. */
  install: (language: string) => Promise<string>;
}

/** Offers to fetch the browser's language pack, where it can be had, and says what came of it. */
export function Pack({
  language,
  pack,
  onInstalled,
}: {
  language: string;
  pack: LanguagePacks;
  onInstalled: () => void;
}) {
  const [offered, setOffered] = useState(false);
  const [busy, setBusy] = useState(false);
  const [said, setSaid] = useState('');
  useEffect(() => {
    let current = true;
    pack.offered(language).then((yes) => current && setOffered(yes));
    return () => {
      current = false;
    };
  }, [language, pack]);
  const install = async () => {
    setBusy(true);
    setSaid('Fetching the language pack; this may take half a minute …');
    // Nothing is awaited before it: the browser must still know of the press.
    setSaid(await pack.install(language));
    setBusy(false);
    setOffered(await pack.offered(language));
    onInstalled();
  };
  return (
    <>
      {offered && (
        <div className={styles.buttons}>
          <button type="button" onClick={install} disabled={busy}>
            Install the browser's language pack: {nameOf(language)}
          </button>
        </div>
      )}
      {said && (
        <p className={styles.caption} role="status">
          {said}
        </p>
      )}
    </>
  );
}
