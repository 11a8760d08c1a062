#include "edge/pages/kit/kit.hpp"

#include <algorithm>

#include "edge/json/json.hpp"

namespace penstock::pages {

When now_at(const Clinic& clinic, const Caller& caller) { return clinic.zone.when(caller.now); }
When now_at(const Chart& person, const Caller& caller) { return person.zone.when(caller.now); }

json::Value fact(std::string_view kind) { return json::object({{"what", text(kind)}}); }

std::string cm_text(TenthsMm length) { return format_fixed(length.tenths, 2); }

json::Value rich(const Rich& text) {
  std::vector<json::Value> runs;
  for (const auto& run : text) {
    runs.push_back(run.bold ? json::object({{"b", json::string(run.text)}})
                            : json::string(run.text));
  }
  return json::array(std::move(runs));
}

json::Value say(const Words& words, std::string_view key, const std::vector<Arg>& args) {
  return rich(words.sentence(key, args));
}

std::string said(const Words& words, std::string_view key, const std::vector<Arg>& args) {
  return words.text(key, args);
}

json::Value svg(std::string_view picture) { return json::string(picture); }
json::Value text(std::string_view value) { return json::string(value); }
json::Value list(std::vector<json::Value> items) { return json::array(std::move(items)); }

std::string_view code_of(Level level) {
  return level == Level::note ? "note" : level == Level::caution ? "caution" : "stop";
}

void add_level(const Words& words, json::Value& object, Level level) {
  json::add(object, "level", text(code_of(level)));
  json::add(object, "level_word",
            text(words.name(std::string("level/") + std::string(code_of(level)))));
}

json::Value notice(const Words& words, Level level, const Rich& sentence) {
  auto out = json::object();
  add_level(words, out, level);
  json::add(out, "text", rich(sentence));
  return out;
}

json::Value record_action(const Words& words, std::string_view label_key,
                          std::vector<json::Value> facts, json::Value fill,
                          std::string_view confirm_key, const std::vector<Arg>& label_args) {
  auto out = json::object({{"label", text(said(words, label_key, label_args))},
                           {"facts", json::array(std::move(facts))}});
  if (fill.type == json::Type::array && !fill.members.empty())
    json::add(out, "fill", std::move(fill));
  if (!confirm_key.empty()) json::add(out, "confirm", text(said(words, confirm_key)));
  return out;
}

json::Value fill_field(const Words& words, std::string_view field, std::string_view label_key,
                       std::string_view kind) {
  return json::object(
      {{"field", text(field)}, {"label", text(said(words, label_key))}, {"kind", text(kind)}});
}

json::Value fill_choice(const Words& words, std::string_view field, std::string_view label_key,
                        std::span<const std::string_view> values) {
  auto out = fill_field(words, field, label_key, "choice");
  std::vector<json::Value> choices;
  for (const auto value : values) {
    choices.push_back(json::object({{"value", text(value)}, {"label", text(words.name(value))}}));
  }
  json::add(out, "choices", json::array(std::move(choices)));
  return out;
}

json::Value choice(std::string_view value, std::string_view label) {
  return json::object({{"value", text(value)}, {"label", text(label)}});
}

json::Value empty(const Words& words, std::string_view title_key, std::string_view text_key,
                  const std::vector<Arg>& args, std::string_view picture,
                  std::string_view action_key, std::string_view href) {
  auto out = json::object({{"title", text(said(words, title_key, args))},
                           {"text", say(words, text_key, args)},
                           {"picture", svg(picture)}});
  if (!action_key.empty()) {
    json::add(out, "action",
              json::object({{"label", text(said(words, action_key))}, {"href", text(href)}}));
  }
  return out;
}

drawing::Action mark_of(shelf::Action action, std::string_view name) {
  switch (action) {
    case shelf::Action::rapid:
      return drawing::Action::rapid;
    case shelf::Action::short_acting:
      return drawing::Action::short_acting;
    case shelf::Action::intermediate:
      return drawing::Action::intermediate;
    case shelf::Action::long_acting:
      return drawing::Action::long_acting;
    case shelf::Action::premixed:
      break;
  }
  const auto has = [name](std::string_view part) {
    return name.find(part) != std::string_view::npos;
  };
  if (has("degludec")) return drawing::Action::rapid_with_long;
  return has("human") ? drawing::Action::premixed_short : drawing::Action::premixed_rapid;
}

drawing::Action mark_of(const shelf::Insulin& insulin) {
  return mark_of(insulin.action, insulin.name);
}

namespace {

// Where only the order is known.
drawing::Action mark_of_purpose(journal::Purpose purpose) {
  switch (purpose) {
    case journal::Purpose::background:
      return drawing::Action::long_acting;
    case journal::Purpose::premixed:
      return drawing::Action::premixed_rapid;
    case journal::Purpose::mealtime:
    case journal::Purpose::correction:
      break;
  }
  return drawing::Action::rapid;
}

}  // namespace

drawing::Action mark_of(const shelf::Shelf& shelf, std::string_view insulin, Strength strength,
                        journal::Purpose purpose) {
  const auto* entry = shelf.insulin(insulin, strength);
  return entry != nullptr ? mark_of(entry->thing) : mark_of_purpose(purpose);
}

drawing::Action mark_of(const watch::Watch& watch) {
  return watch.action ? mark_of(*watch.action, watch.insulin) : mark_of_purpose(watch.purpose);
}

std::string window_words(const Words& words, const std::optional<shelf::Window>& window) {
  if (!window) return said(words, "pen.window_unknown");
  return said(words,
              *window == shelf::Window::counts_on ? "pen.window_counts_on" : "pen.window_returns");
}

std::string pen_label(const Words& words, const shelf::Pen& pen) {
  return pen.name + "; " + window_words(words, pen.window);
}

std::string contact_label(const Words& words, const journal::ContactNoted& contact) {
  return capital(words.name("contact/" + word_of(contact.role))) + ", " + contact.full_name;
}

std::string phone_text(const Words& words, std::string_view phone) {
  return phone.empty() ? said(words, "who.no_phone")
                       : said(words, "who.phone", {arg_text("phone", phone)});
}

std::string hour_text(const Words& words, const When& at, const When& now) {
  const auto time = format_iso(at.minute());
  return at.day() == now.day() ? time : words.day_short(at.day()) + " " + time;
}

std::string version_text(const Words& words, const order::Line& line) {
  return said(words, "order.version_of",
              {arg_count("version", line.text.order_version),
               arg_text("day", words.day_year(line.text.signed_on)),
               arg_text("prescriber", line.text.prescriber)});
}

std::string days_unread_text(const Words& words, const order::Line& line) {
  if (!line.checked || line.checked->days_read) return {};
  return capital(said(words, "order.days_unread", {arg_text("by", line.checked->by)})) + ".";
}

std::string capital(std::string_view lower) {
  std::string out(lower);
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z')
    out[0] = static_cast<char>(out[0] - 'a' + 'A');
  return out;
}

std::string href_of(Id person, std::string_view rest) {
  return "/people/" + to_text(person) + std::string(rest);
}

namespace {

/// The program went wrong over it, and the record is whole. A journal that was cut or changed (the
/// code of an error) may lack what was in it (H61).
bool is_incident(const summary::Row& row) {
  return row.left_out == "desk.incident" || row.left_out.find('.') == std::string::npos;
}

}  // namespace

namespace {

// Nobody can be named, so the page is told to be incomplete, and where the name is found (H61).
std::string missing_text(const Words& words, const Missing& missing) {
  if (missing.records == 0) return "";
  auto out = said(words, "left_out.missing",
                  {arg_count("records", static_cast<std::int64_t>(missing.records))}) +
             " ";
  for (const auto& id : missing.known)
    out += said(words, "left_out.missing_id", {arg_text("id", to_text(id))}) + " ";
  return out + said(words, "left_out.missing_do");
}

}  // namespace

std::string left_out_text(const Words& words, const People& people, std::vector<Id> left_out,
                          const Missing& missing) {
  std::ranges::sort(left_out, {}, [&people](const Id& id) { return people.place_of(id); });
  const auto doubled = std::ranges::unique(left_out);
  left_out.erase(doubled.begin(), doubled.end());
  std::string out;
  bool nothing_lost = true;
  for (const auto& id : left_out) {
    const auto* row = people.find(id);
    if (row == nullptr) continue;
    nothing_lost = nothing_lost && is_incident(*row);
    const auto* key = row->number.empty() ? "left_out.nameless" : "left_out.one";
    out += said(words, key,
                {arg_text("name", row->full_name), arg_text("number", row->number),
                 arg_code("because", row->left_out)}) +
           " ";
  }
  const auto gone = missing_text(words, missing);
  if (out.empty()) return gone;
  if (nothing_lost && gone.empty()) out += said(words, "left_out.nothing_lost") + " ";
  out += said(words, "left_out.do_this");
  return gone.empty() ? out : gone + " " + out;
}

PageCut cut(std::size_t count, int page, int rows_on_it) {
  const auto rows = static_cast<std::size_t>(rows_on_it);
  const auto full = quotient(static_cast<std::int64_t>(count), rows_on_it, Rounding::up);
  const int pages = std::max(1, static_cast<int>(full));
  const int here = std::clamp(page, 1, pages);
  const auto from = static_cast<std::size_t>(here - 1) * rows;
  return {here, pages, from, std::min(count, from + rows)};
}

}  // namespace penstock::pages
