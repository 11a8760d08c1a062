// The rooms as their CMake lines name them.
import { lineOf } from './source.mjs';

const keywords = new Set(['RING', 'FLOOR', 'NEEDS', 'LINKS']);

/** Map from folder to {name, ring, floor, needs, folder, file, line}. */
export function rooms(tree) {
  const found = new Map();
  for (const file of tree.match(/^src\/.*CMakeLists\.txt$/)) {
    const text = tree.text(file).replace(/#[^\n]*/g, (comment) => ' '.repeat(comment.length));
    for (const call of text.matchAll(/(^|\n)\s*room\(([^)]*)\)/g)) {
      const words = call[2].trim().split(/\s+/);
      const room = { name: words[0], ring: '', floor: '', needs: [], links: [] };
      let key = '';
      for (const word of words.slice(1)) {
        if (keywords.has(word)) key = word;
        else if (key === 'RING') room.ring = word;
        else if (key === 'FLOOR') room.floor = word;
        else if (key === 'NEEDS') room.needs.push(word);
        else if (key === 'LINKS') room.links.push(word);
      }
      const folder = file.replace(/\/CMakeLists\.txt$/, '');
      found.set(folder, { ...room, folder, file, line: lineOf(text, call.index + call[1].length) });
    }
  }
  return found;
}

/** The room that a path stands in, or undefined. */
export function roomOf(all, path) {
  let best;
  for (const room of all.values()) {
    if (path.startsWith(room.folder + '/') && (!best || room.folder.length > best.folder.length)) best = room;
  }
  return best;
}

export const doorOf = (room) => `${room.folder.replace(/^src\//, '')}/${room.name}.hpp`;
export const isTest = (path) => /_test\.cpp$/.test(path);
