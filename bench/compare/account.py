"""The same account in a data frame: reads the table of facts, prints the processor seconds of the
account alone (not of reading the file), then one line a cartridge."""
import sys
import time

import pandas as pd

facts = pd.read_csv(sys.argv[1], dtype={"id": str, "target": str, "cartridge": str,
                                        "replaced_cartridge": str, "kind": str, "replaced_kind": str})
began = time.process_time()
corrections = facts[facts.kind == "correction"]
holds = (corrections.sort_values(["recorded", "id"]).drop_duplicates("target", keep="last")
         .set_index("target"))
said = facts[facts.kind != "correction"].copy()
corrected = said.id.isin(holds.index)
found = holds.reindex(said.id[corrected])
for column in ("kind", "happened", "sequence", "cartridge", "units"):
    said.loc[corrected, column] = found["replaced_" + column].values
said = said[said.kind.isin(["loaded", "primed", "injected", "thrown"])]
said = said.sort_values(["happened", "source", "sequence", "id"])
said["units"] = said.units.fillna(0).astype("int64")

taken = said.kind.isin(["primed", "injected"])
thrown = said.kind == "thrown"
gone = thrown.groupby(said.cartridge).cummax()
signed = said.units.where(said.kind == "loaded", 0) - said.units.where(taken, 0)
balance = signed.groupby(said.cartridge).cumsum()
by = said.cartridge
table = pd.DataFrame({
    "loaded": said.units.where(said.kind == "loaded", 0).groupby(by).sum(),
    "injected": said.units.where(said.kind == "injected", 0).groupby(by).sum(),
    "primed": said.units.where(said.kind == "primed", 0).groupby(by).sum(),
    "after": said.units.where(taken & gone, 0).groupby(by).sum(),
    "lowest": balance.where(~gone, 0).groupby(by).min(),
    "rest": signed.where(~gone, 0).groupby(by).sum(),
    "gone": gone.groupby(by).max(),
})
beyond = (-table.lowest).clip(lower=0)
rest = (table.rest + beyond).astype("int64")
table["unexplained"] = (beyond + table.after).astype("int64")
table["thrown_away"] = rest.where(table.gone, 0)
table["left"] = rest.where(~table.gone, 0)
table = table.sort_index()
took = time.process_time() - began

print(took)
columns = ["loaded", "unexplained", "injected", "primed", "thrown_away", "left"]
for cartridge, *row in table[columns].itertuples():
    print(cartridge, *row)
