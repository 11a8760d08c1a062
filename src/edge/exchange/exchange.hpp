// Bytes to values and back, or a refusal that names the place. The door of the room; its parts may
// be included one by one.
#pragma once

#include "edge/exchange/accuracy_json.hpp"
#include "edge/exchange/cover_json.hpp"
#include "edge/exchange/csv.hpp"
#include "edge/exchange/dial_json.hpp"
#include "edge/exchange/diary_csv.hpp"
#include "edge/exchange/fact_codec.hpp"
#include "edge/exchange/fact_json.hpp"
#include "edge/exchange/gs1.hpp"
#include "edge/exchange/journal_file.hpp"
#include "edge/exchange/json.hpp"
#include "edge/exchange/places_json.hpp"
#include "edge/exchange/reach_json.hpp"
#include "edge/exchange/reconcile_json.hpp"
#include "edge/exchange/scan_json.hpp"
#include "edge/exchange/sentence.hpp"
#include "edge/exchange/travel_json.hpp"
#include "edge/exchange/verbs.hpp"
#include "edge/exchange/warmth_json.hpp"
