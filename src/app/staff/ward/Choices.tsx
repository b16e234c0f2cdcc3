import type { DeriveTexts } from '../../../records/derive';
import type { VisitDigest } from '../../../records/ward/digest';
import { type Choice, counted, type Span, spans } from './choice';
import styles from './Ward.module.css';
import { count } from './words';

const languageNames = new Intl.DisplayNames('en', { type: 'language' });

/** What is counted: which module, how far back, and where there is a choice which kind of visit and which language. */
export function Choices({
  visits,
  texts,
  choice,
  onChoice,
}: {
  visits: readonly VisitDigest[];
  texts: Record<string, DeriveTexts>;
  choice: Choice;
  onChoice: (choice: Choice) => void;
}) {
  const mine = visits.filter(({ module }) => module === choice.module);
  const languages = counted(mine.map(({ language }) => language));
  const rechecks = mine.filter(({ recheck }) => recheck).length;
  const change = (part: Partial<Choice>) => onChoice({ ...choice, ...part });
  return (
    <div className={styles.choices}>
      <label>
        Module
        <select
          value={choice.module}
          onChange={({ target }) => change({ module: target.value, recheck: false, language: '' })}
        >
          {counted(visits.map(({ module }) => module)).map(([module, n]) => (
            <option key={module} value={module}>
              {texts[module]?.teaching.title ?? module} ({count(n, 'visit')})
            </option>
          ))}
        </select>
      </label>
      <label>
        When
        <select value={choice.span} onChange={({ target }) => change({ span: target.value as Span })}>
          {Object.entries(spans).map(([span, name]) => (
            <option key={span} value={span}>
              {name}
            </option>
          ))}
          <option value="own">From one day to another</option>
        </select>
      </label>
      {choice.span === 'own' && (
        <>
          <label>
            From
            <input
              type="date"
              value={choice.from}
              onChange={({ target }) => change({ from: target.value })}
            />
          </label>
          <label>
            To
            <input type="date" value={choice.to} onChange={({ target }) => change({ to: target.value })} />
          </label>
        </>
      )}
      {rechecks > 0 && (
        <label>
          Visits
          <select
            value={choice.recheck ? 'recheck' : 'first'}
            onChange={({ target }) => change({ recheck: target.value === 'recheck' })}
          >
            <option value="first">First teaching ({(mine.length - rechecks).toLocaleString('en')})</option>
            <option value="recheck">Re-checks ({rechecks.toLocaleString('en')})</option>
          </select>
        </label>
      )}
      {languages.length > 1 && (
        <label>
          Language
          <select value={choice.language} onChange={({ target }) => change({ language: target.value })}>
            <option value="">All</option>
            {languages.map(([language, n]) => (
              <option key={language} value={language}>
                {languageNames.of(language)} ({n.toLocaleString('en')})
              </option>
            ))}
          </select>
        </label>
      )}
    </div>
  );
}
