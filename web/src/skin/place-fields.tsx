// A place as fields: the zone, and centimetres with their direction in words. The plate writes here, too, so both always say the same.
import type { JSX } from 'preact';
import { SelectField, TextField, type Choice } from '../parts/fields';
import type { Typed, Values } from '../parts/form';
import { acrossTo, alongTo, directionsOf, fromWhere } from './lengths';
import { say } from '../words';

function Measure({
  typed,
  name,
  label,
  choices,
  needed,
  wrong,
}: {
  typed: Typed<Values>;
  name: string;
  label: string;
  choices: Choice[];
  needed: boolean;
  wrong?: string | undefined;
}): JSX.Element {
  return (
    <div class="measure">
      <TextField {...typed.field(name, label)} decimal unit={say('unit.cm')} needed={needed} wrong={wrong} />
      <SelectField {...typed.field(`${name}_to`, say('skin.which_way', { distance: label }))} choices={choices} />
    </div>
  );
}

export function PlaceFields({
  typed,
  zones,
  needed = true,
  wrong = {},
}: {
  typed: Typed<Values>;
  zones: Choice[];
  needed?: boolean;
  wrong?: Record<string, string>;
}): JSX.Element {
  const zone = typed.values['zone'] ?? '';
  const from = fromWhere(zone);
  const choose = (value: string): void => typed.change({ zone: value, ...directionsOf(value) });
  return (
    <div class="place-fields">
      <SelectField
        label={say('skin.body_area')}
        name="zone"
        value={zone}
        set={choose}
        choices={zones}
        empty={say('form.choose')}
        needed
        wrong={wrong['zone']}
      />
      <Measure
        typed={typed}
        name="across"
        label={zone === '' ? say('skin.sideways') : say('skin.sideways_from', { from })}
        choices={acrossTo}
        needed={needed}
        wrong={wrong['spot/x_mm'] ?? wrong['centre/x_mm']}
      />
      <Measure
        typed={typed}
        name="along"
        label={zone === '' ? say('skin.up_down') : say('skin.up_down_from', { from })}
        choices={alongTo}
        needed={needed}
        wrong={wrong['spot/y_mm'] ?? wrong['centre/y_mm']}
      />
    </div>
  );
}
