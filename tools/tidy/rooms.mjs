// The rooms as their CMake lines name them.
import { lineOf } from './source.mjs';

const keywords = new Set(['RING', 'HOT', 'APART', 'NEEDS', 'LINKS', 'DOORS', 'TESTED_WITH']);

/** Map from folder to {name, ring, floor, needs, doors, testedWith, folder, file, line}. */
export function rooms(tree) {
  const found = new Map();
  for (const file of tree.match(/^src\/.*CMakeLists\.txt$/)) {
    const text = tree.text(file).replace(/#[^\n]*/g, (comment) => ' '.repeat(comment.length));
    for (const call of text.matchAll(/(^|\n)\s*room\(([^)]*)\)/g)) {
      const words = call[2].trim().split(/\s+/);
      const room = { name: words[0], ring: '', needs: [], doors: [], testedWith: [] };
      let key = '';
      for (const word of words.slice(1)) {
        if (keywords.has(word)) key = word;
        else if (key === 'RING') room.ring = word;
        else if (key === 'NEEDS') room.needs.push(word);
        else if (key === 'DOORS') room.doors.push(word);
        else if (key === 'TESTED_WITH') room.testedWith.push(word);
      }
      if (room.doors.length === 0) room.doors.push(room.name.split('/').pop());
      const folder = file.replace(/\/CMakeLists\.txt$/, '');
      found.set(folder, { ...room, folder, file, line: lineOf(text, call.index + call[1].length) });
    }
  }
  const byName = new Map([...found.values()].map((room) => [room.name, room]));
  for (const room of found.values()) room.floor = String(floorOf(room, byName, []));
  return found;
}

/** One above the highest room of the same ring that is needed, as cmake/rooms.cmake works it out; it refuses a circle. */
function floorOf(room, byName, under) {
  if (under.includes(room)) return 0;
  const same = room.needs.map((need) => byName.get(need)).filter((need) => need?.ring === room.ring);
  return 1 + Math.max(0, ...same.map((need) => floorOf(need, byName, [...under, room])));
}

/** The room that a path stands in, or undefined. */
export function roomOf(all, path) {
  let best;
  for (const room of all.values()) {
    if (path.startsWith(room.folder + '/') && (!best || room.folder.length > best.folder.length)) best = room;
  }
  return best;
}

/** Its doors, as they are included. */
export const doorsOf = (room) => room.doors.map((door) => `${room.folder.replace(/^src\//, '')}/${door}.hpp`);
export const isTest = (path) => /_test\.cpp$/.test(path);
