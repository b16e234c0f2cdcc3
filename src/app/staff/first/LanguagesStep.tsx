import { useEffect, useState } from 'react';
import { nameOf } from '../../shared/language';
import styles from '../Staff.module.css';

/** By what each language would be heard and spoken here. */
export function LanguagesStep({
  languages,
  ears,
}: {
  languages: string[];
  /** In a sentence. */
  ears: (language: string) => Promise<string>;
}) {
  const [told, setTold] = useState<Record<string, string>>({});
  useEffect(() => {
    let current = true;
    for (const language of languages)
      void ears(language).then((sentence) => {
        if (current) setTold((before) => ({ ...before, [language]: sentence }));
      });
    return () => {
      current = false;
    };
  }, [languages, ears]);
  return (
    <>
      <p>
        Nothing needs to be done here. Where a language cannot be heard, learners answer by touching cards or
        typing; where it cannot be spoken, they read.
      </p>
      <table className={styles.table}>
        <tbody>
          {languages.map((language) => (
            <tr key={language}>
              <th scope="row" lang={language}>
                {nameOf(language)}
              </th>
              <td>{told[language] ?? '…'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
