// A picture of the skin: made small in the browser, kept only with the person's consent, sent when the form is; erased when the consent is withdrawn.
import type { JSX } from 'preact';
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { erase, postText, type Refused, type Reply } from '../api';
import type { ErasedPhoto, KeptPhoto, PlacesPage } from '../model';
import { Dialog } from '../parts/dialog';
import { CheckField, TextField } from '../parts/fields';
import { Form, useTyped } from '../parts/form';
import { Say, Words } from '../parts/text';
import { say } from '../words';

const longest_px = 1600; // a hand's breadth of skin at a tenth of a millimetre, and a file that any network takes
const jpeg_quality = 0.86;

const unreadable: Refused = {
  code: 'web.photo',
  at: '',
  what: say('skin.photo_unreadable'),
  do_this: say('skin.photo_help'),
};
const unreached: Refused = {
  code: 'web.unreached',
  at: '',
  what: say('skin.photo_unsaved'),
  do_this: say('skin.photo_again'),
};

/** The picture on a canvas, at most 1600 pixels long, the right way up. */
async function reduced(file: File): Promise<HTMLCanvasElement | null> {
  try {
    const picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
    const scale = Math.min(1, longest_px / Math.max(picture.width, picture.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    return canvas;
  } catch {
    return null;
  }
}

const asJpeg = (canvas: HTMLCanvasElement): Promise<Blob | null> => new Promise((done) => canvas.toBlob(done, 'image/jpeg', jpeg_quality));

/** Where the picture went, or why it did not. Sent before the form: the fact names it by its digest. */
export async function sendPhoto(person: string, file: File): Promise<KeptPhoto | Refused> {
  const canvas = await reduced(file);
  const jpeg = canvas && (await asJpeg(canvas));
  if (!jpeg) return unreadable;
  const reply = await postText<KeptPhoto>(`/api/people/${person}/photos?consent=yes`, jpeg, 'image/jpeg');
  if (reply.kind === 'ok') return reply.value;
  return reply.kind === 'unreached' || reply.kind === 'ask' ? unreached : reply.refused;
}

/** What was chosen, as it will be sent. */
function Preview({ file }: { file: File }): JSX.Element {
  const holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let live = true;
    void reduced(file).then((canvas) => {
      if (!live) return;
      canvas?.setAttribute('role', 'img');
      canvas?.setAttribute('aria-label', say('skin.photo_chosen'));
      holder.current?.replaceChildren(...(canvas ? [canvas] : [unreadable.what]));
    });
    return () => {
      live = false;
    };
  }, [file]);
  return <div class="photo-preview" ref={holder} />;
}

export function PhotoField({
  file,
  set,
  consent,
  allow,
  wrong,
}: {
  file: File | null;
  set: (file: File | null) => void;
  consent: boolean;
  allow: (on: boolean) => void;
  wrong: string | undefined;
}): JSX.Element {
  const id = useId();
  return (
    <div class={`field file photo-field ${wrong ? 'wrong' : ''}`}>
      <label for={id}>
        {say('skin.photo')} <span class="quiet">{say('form.optional')}</span>
      </label>
      <input
        id={id}
        type="file"
        accept="image/jpeg,image/png,image/webp"
        onChange={(event) => set(event.currentTarget.files?.[0] ?? null)}
      />
      {file && <Preview file={file} />}
      {file && (
        <CheckField
          label={say('skin.photo_consent')}
          name="photo_consent"
          value={consent}
          set={allow}
          hint={say('skin.photo_consent_hint')}
        />
      )}
      {wrong && <p class="why">{wrong}</p>}
    </div>
  );
}

export type Examination = PlacesPage['examinations'][number];

/** Nobody knows whether it was erased; asked again, the server notes it once. */
function MaybeErased(): JSX.Element {
  return (
    <div class="refusal" role="alert">
      <Say level="caution" word={say('page.caution')}>
        {say('skin.photo_erase_unreached')}
      </Say>
      <p class="after">{say('outcome.not_saved_do')}</p>
    </div>
  );
}

/** Asks first, and for the reason: what is erased does not come back. `erased`: it is gone, and the page is to be fetched again. */
export function ErasePhoto({
  person,
  of,
  photo,
  erased,
  close,
}: {
  person: string;
  of: Examination;
  photo: NonNullable<Examination['photo']>;
  erased: () => Promise<void>;
  close: () => void;
}): JSX.Element {
  const typed = useTyped({ reason: say('skin.photo_erase_why') });
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<Reply<ErasedPhoto> | null>(null);
  const leave = (): void => {
    typed.settled();
    close();
  };
  const submit = async (): Promise<void> => {
    if (busy) return;
    setBusy(true);
    setAnswer(null);
    const reason = encodeURIComponent(typed.values.reason.trim());
    const reply = await erase<ErasedPhoto>(`/api/people/${person}/photos/${photo.digest}?reason=${reason}`);
    if (reply.kind === 'ok') {
      typed.settled();
      return erased();
    }
    setBusy(false);
    setAnswer(reply);
  };
  return (
    <Dialog title={say('skin.photo_erase')} close={leave}>
      <p>
        <b>{of.when_text}</b> <Words text={of.sentence} />
      </p>
      <p class="photo">
        <img src={photo.href} alt={photo.alt} />
      </p>
      <p>{say('skin.photo_erase_text')}</p>
      <Form
        submit={() => void submit()}
        button={say('skin.photo_erase_button')}
        busy={busy}
        first={false}
        cancel={leave}
        cancelled={say('skin.photo_erase_keep')}
        refused={answer && 'refused' in answer ? answer.refused : null}
      >
        <TextField {...typed.field('reason', say('page.reason'))} needed />
        {answer?.kind === 'unreached' && <MaybeErased />}
      </Form>
    </Dialog>
  );
}
