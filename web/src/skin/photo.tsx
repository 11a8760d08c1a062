// A picture of the skin: made small in the browser, kept only with the person's consent, sent when the form is.
import type { JSX } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { postText, type Refused } from '../api';
import type { KeptPhoto } from '../model';
import { CheckField } from '../parts/fields';
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
