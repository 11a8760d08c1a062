// Requests for the dial plan over steps, windows, rests and preferences, one a line, always the same ones.

const pens = [
  { step_units: 1, most_units: 60 },
  { step_units: 0.5, most_units: 30 },
  { step_units: 2, most_units: 160 },
];
const rests = [[247], [19], [21, 300], [3, 12, 300], [8.5, 9.5]];
const doses = [1, 2, 4.5, 18, 22, 62, 200];

export function* dialQuestions() {
  for (const pen of pens)
    for (const window of ['counts on', 'returns to zero'])
      for (const rest of rests)
        for (const dose of doses)
          for (const spent of [0, 3])
            for (const prefer of ['fewest needles', 'least waste'])
              yield `dial ${JSON.stringify(request({ pen, window, rest, dose, spent, prefer }))}`;
}

function request({ pen, window, rest, dose, spent, prefer }) {
  return {
    dose_units: dose,
    insulin: { name: 'insulin glargine', strength_units_per_ml: 100, suspension: dose === 22 },
    pen: { ...pen, window },
    prime: { units: 2, new_cartridge_units: 4, spent_units: spent, flow_seen: spent > 0 && dose !== 18 },
    cartridges: rest.map((left, index) => ({
      id: String.fromCharCode(65 + index),
      left_units: left,
      days_in_use: left === 300 ? 0 : 6 + index * 11,
      in_use_days: 28,
    })),
    prefer,
  };
}
