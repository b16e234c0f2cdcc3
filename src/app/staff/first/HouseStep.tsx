import type { Site } from '../../site';
import styles from '../Staff.module.css';
import own from './First.module.css';
import { type Setting, settingsOf } from './settings';

const sources: Record<Setting['from'], string> = {
  'site.json': 'from site.json',
  default: 'default',
  example: 'invented example: put your own into site.json',
};

/** What the kiosk knows of its ward, and where that is from. */
export function HouseStep({ site, given, problems }: { site: Site; given: string[]; problems: string[] }) {
  return (
    <>
      <p>
        The kiosk reads this from the file site.json, beside its pages. Change it there, then load this page
        again.
      </p>
      {problems.map((problem) => (
        <p key={problem} className={styles.caution}>
          {problem}
        </p>
      ))}
      <table className={`${styles.table} ${own.short}`}>
        <tbody>
          {settingsOf(site, given).map(({ name, value, from }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
              <td className={from === 'example' ? styles.caution : styles.caption}>{sources[from]}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
