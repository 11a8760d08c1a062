-- The account of every cartridge, from one table of facts, corrections read on the way. What was
-- taken beyond what was left is the lowest point of the running balance, as far as it is below zero.
-- Kinds: 1 loaded, 2 primed, 3 injected, 4 thrown away, 5 a correction.
WITH holds AS (
  SELECT * FROM (
    SELECT target, replaced_kind, replaced_happened, replaced_sequence, replaced_cartridge, replaced_units,
           row_number() OVER (PARTITION BY target ORDER BY recorded DESC, id DESC) AS place
    FROM facts WHERE kind = 5)
  WHERE place = 1),
said AS (
  SELECT f.id, f.source,
         iif(h.target IS NULL, f.kind, h.replaced_kind) AS kind,
         iif(h.target IS NULL, f.happened, h.replaced_happened) AS happened,
         iif(h.target IS NULL, f.sequence, h.replaced_sequence) AS sequence,
         iif(h.target IS NULL, f.cartridge, h.replaced_cartridge) AS cartridge,
         iif(h.target IS NULL, f.units, h.replaced_units) AS units
  FROM facts f LEFT JOIN holds h ON h.target = f.id
  WHERE f.kind <> 5 AND (h.target IS NULL OR h.replaced_kind IS NOT NULL)),
steps AS (
  SELECT cartridge, kind, units,
         sum(CASE kind WHEN 1 THEN units WHEN 4 THEN 0 ELSE -units END) OVER so_far AS balance,
         max(kind = 4) OVER so_far AS gone
  FROM said WHERE kind IN (1, 2, 3, 4)
  WINDOW so_far AS (PARTITION BY cartridge ORDER BY happened, source, sequence, id
                    ROWS UNBOUNDED PRECEDING)),
sums AS (
  SELECT cartridge,
         sum(iif(kind = 1, units, 0)) AS loaded,
         sum(iif(kind = 2, units, 0)) AS primed,
         sum(iif(kind = 3, units, 0)) AS injected,
         sum(iif(gone AND kind IN (2, 3), units, 0)) AS after,
         max(0, -coalesce(min(iif(gone, NULL, balance)), 0)) AS beyond,
         sum(CASE WHEN gone THEN 0 WHEN kind = 1 THEN units ELSE -units END) AS rest,
         max(gone) AS gone
  FROM steps GROUP BY cartridge)
SELECT lower(hex(cartridge)) AS cartridge, loaded, beyond + after AS unexplained, injected, primed,
       iif(gone, rest + beyond, 0) AS thrown_away, iif(gone, 0, rest + beyond) AS left
FROM sums ORDER BY cartridge
