import type { Ref } from 'react';
import type { VisitRecord } from '../../records/derive';
import { shortTime } from '../shared/dates';
import { FormPanel } from './FormPanel';
import { openParts } from './headline';
import { Name } from './Panel';
import { Problem } from './Problem';
import { useReviewer } from './reviewer';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

/** How far the record is signed, in a line. */
export function signedLine({ signOff: { signed, changedSince } }: VisitRecord): string {
  if (!signed) return 'Not signed yet.';
  const whom = `${signed.by.name}, ${shortTime(signed.at)}`;
  return changedSince
    ? `Changed since it was signed by ${whom}. It is not signed as it stands.`
    : `Signed by ${whom}.`;
}

/** The one place where a visit is signed, with what stays open in a sentence. */
export function SignOff({
  record,
  heading,
  onSigned,
}: {
  record: VisitRecord;
  /** Where the way from the top of the page leads. */
  heading: Ref<HTMLHeadingElement>;
  onSigned: () => void;
}) {
  const { add } = useReviewer();
  const { busy, problem, onSubmit } = useAsked();
  const { signed, changedSince } = record.signOff;
  const open = openParts(record);
  return (
    <section aria-labelledby="sign-off">
      <h2 id="sign-off" ref={heading} tabIndex={-1}>
        Sign-off
      </h2>
      <p className={changedSince ? styles.caution : signed ? styles.learned : undefined}>
        {signedLine(record)}
      </p>
      {record.state === 'open' ? (
        <p>This visit is not over. It can be signed when it has ended.</p>
      ) : signed && !changedSince ? (
        <p className={styles.caption}>Whatever is added from now on has to be signed again.</p>
      ) : (
        <div className={styles.form}>
          <FormPanel
            legend="You have reviewed this visit and stand by the note"
            submit={signed ? 'Sign again' : 'Sign'}
            busy={busy}
            main
            onSubmit={onSubmit(async () => {
              await add([{ type: 'signed' }]);
              onSigned();
            })}
          >
            <p>
              {open.length > 0
                ? `Still open: ${open.join('; ')}. Signed so, it stays in the plan.`
                : 'Nothing is open.'}
            </p>
            <Name label="Name of who signs" />
            <Problem text={problem} />
          </FormPanel>
        </div>
      )}
    </section>
  );
}
