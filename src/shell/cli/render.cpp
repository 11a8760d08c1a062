#include "shell/cli/internal/render.hpp"

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"

namespace penstock::cli {
namespace {

std::string title(std::string_view key) { return "\n" + words::english().text(key) + "\n"; }

const json::Value& at(const json::Value& document, std::string_view key) {
  static const json::Value nothing;
  const auto* found = document.find(key);
  return found == nullptr ? nothing : *found;
}

std::string rich_at(const json::Value& document, std::string_view key) {
  return plain(document.find(key));
}

// "a   b   c" from those that say something.
std::string joined(std::initializer_list<std::string> parts, std::string_view between = "   ") {
  std::string out;
  for (const auto& part : parts) {
    if (part.empty()) continue;
    if (!out.empty()) out += between;
    out += part;
  }
  return out;
}

std::string line(const std::string& text, std::string_view indent = "  ") {
  return text.empty() ? std::string() : wrapped(text, indent, std::string(indent) + "  ");
}

bool is_utf8_start(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

std::size_t width(std::string_view text) {
  std::size_t count = 0;
  for (const char c : text) count += is_utf8_start(c) ? 1 : 0;
  return count;
}

std::string render_notices(const json::Value& notices) {
  std::string out;
  for (const auto& each : notices.members) {
    const auto level = text_at(each.value, "level_word");
    const auto text = rich_at(each.value, "text");
    out += line(joined({level, text}, " "));
  }
  return out;
}

std::string render_who(const json::Value& who) {
  auto out = joined({text_at(who, "name"), text_at(who, "born_text"), text_at(who, "age_text"),
                     text_at(who, "number"), text_at(who, "phone")}) +
             "\n";
  out += line(text_at(who, "alike_text"));
  for (const auto& flag : at(who, "flags").members) out += line(plain(&flag.value));
  return out;
}

std::string render_table(const json::Value& table) {
  if (table.type != json::Type::object) return {};
  auto out = line(text_at(table, "caption"));
  for (const auto& row : at(table, "rows").members) {
    out += "    " + joined({text_at(row.value, "prime"), text_at(row.value, "unit")}) + "\n";
  }
  return out;
}

std::string render_refusal(const json::Value& refusal) {
  if (refusal.type != json::Type::object) return {};
  return line(text_at(refusal, "what")) + line(rich_at(refusal, "why")) +
         line(rich_at(refusal, "do_this")) + line(rich_at(refusal, "insulin_today"));
}

// H05, H08: purpose, name, strength, "units", date and order version stand on every card.
std::string render_card(const json::Value& card) {
  auto out = line(
      joined({text_at(card, "title"), text_at(card, "time_text"), text_at(card, "in_text")}), "");
  out += line(
      joined({text_at(card, "purpose"), text_at(card, "insulin"), text_at(card, "strength_text"),
              text_at(card, "dose_text"), text_at(card, "with_text")}));
  out += line(text_at(card, "order_text"));
  out += line(text_at(card, "part_text"));
  out += render_refusal(at(card, "refusal"));
  int number = 0;
  for (const auto& step : at(card, "steps").members) {
    const auto label = std::to_string(++number) + ". ";
    const auto caption = text_at(step.value, "caption");
    const auto done = text_at(step.value, "done_text");
    out += line(label + text_at(step.value, "title") + (caption.empty() ? "" : " - " + caption) +
                (done.empty() ? "" : " (" + done + ")"));
  }
  out += render_table(at(card, "window_table"));
  out += line(rich_at(card, "after_text"));
  out += render_notices(at(card, "cautions"));
  return out + line(text_at(card, "defer"));
}

std::string render_ask(const json::Value& ask) {
  return line(joined({text_at(ask, "time_text"), text_at(ask, "purpose"), text_at(ask, "title")}),
              "") +
         line(rich_at(ask, "text")) + line(text_at(ask, "by_text")) +
         line(text_at(ask, "phone_text"));
}

std::string render_order(const json::Value& order) {
  auto out = title("cli.order") + line(text_at(order, "version_text"));
  for (const auto& each : at(order, "lines").members) {
    const auto& row = each.value;
    out += line(joined({text_at(row, "purpose"), text_at(row, "insulin"),
                        text_at(row, "strength_text"), rich_at(row, "doses")}));
    out += line(joined({text_at(row, "dates"), text_at(row, "copied"), text_at(row, "state_text"),
                        text_at(row, "id")}),
                "    ");
  }
  return out + line(rich_at(at(order, "empty"), "text"));
}

// What a later request has to name.
std::string identity(std::string_view key, const json::Value& thing) {
  return words::english().text(key, {arg_text("id", text_at(thing, "id"))});
}

std::string render_pen(const json::Value& pen) {
  auto out = line(joined({text_at(pen, "insulin"), text_at(pen, "strength_text"),
                          text_at(pen, "pen_name"), text_at(pen, "window_text")}));
  const auto& cartridge = at(pen, "cartridge");
  if (cartridge.type == json::Type::object) {
    out += line(joined({text_at(cartridge, "left_text") + " " + text_at(cartridge, "left_unit"),
                        rich_at(cartridge, "in_use"), rich_at(cartridge, "after"),
                        text_at(cartridge, "lot_text")}),
                "    ");
    out += line(rich_at(cartridge, "sums"), "    ");
    out += line(identity("cli.cartridge_id", cartridge), "    ");
  }
  out += line(rich_at(at(pen, "empty"), "text"), "    ");
  out += line(text_at(at(pen, "sealed"), "text"), "    ");
  out += line(identity("cli.pen_id", pen), "    ");
  return out + render_notices(at(pen, "notices"));
}

std::string render_low(const json::Value& low) {
  return "\n" + line(text_at(low, "title"), "") + line(rich_at(low, "text"));
}

}  // namespace

std::string plain(const json::Value* rich) {
  if (rich == nullptr) return {};
  if (rich->type == json::Type::string) return rich->text;
  std::string out;
  for (const auto& run : rich->members) {
    const auto* bold = run.value.find("b");
    out += bold == nullptr ? run.value.text : bold->text;
  }
  return out;
}

std::string text_at(const json::Value& document, std::string_view key) {
  const auto* found = document.find(key);
  return found == nullptr ? std::string() : found->text;
}

std::string wrapped(std::string_view text, std::string_view first, std::string_view indent) {
  constexpr std::size_t columns = 78;  // a terminal of 80 with room for the cursor
  std::string out(first);
  std::size_t used = width(first);
  bool begins = true;
  for (std::size_t from = 0; from <= text.size();) {
    const auto end = std::min(text.find_first_of(" \n", from), text.size());
    const auto word = text.substr(from, end - from);
    const auto needs = width(word) + (begins ? 0 : 1);
    const bool broken = from > 0 && text[from - 1] == '\n';
    if (!begins && (broken || used + needs > columns)) {
      out += "\n" + std::string(indent);
      used = width(indent);
      begins = true;
    }
    if (!begins) {
      out += ' ';
      ++used;
    }
    out += word;
    used += width(word);
    begins = false;
    from = end + 1;
  }
  return out + "\n";
}

std::string render_people(const json::Value& people) {
  auto out = line(text_at(people, "count_text"), "");
  for (const auto& row : at(people, "people").members) {
    out += joined({text_at(row.value, "name"), text_at(row.value, "born_text"),
                   text_at(row.value, "age_text"), text_at(row.value, "number")}) +
           "\n";
    out += line(rich_at(row.value, "state"), "    ");
    out += line(text_at(row.value, "alike_text"), "    ");
  }
  const auto& empty = at(people, "empty");
  out += line(text_at(empty, "title"), "") + line(rich_at(empty, "text"), "");
  const auto pages = text_at(people, "pages");
  if (!pages.empty() && pages != "0" && pages != "1") {
    out += words::english().text("cli.page_of", {arg_text("page", text_at(people, "page")),
                                                 arg_text("pages", pages)}) +
           "\n";
  }
  return out;
}

std::string render_today(const json::Value& today) {
  auto out = line(rich_at(today, "headline"), "") + line(rich_at(today, "sub"), "");
  for (const auto& group : at(today, "groups").members) {
    out += "\n" + line(text_at(group.value, "title"), "");
    for (const auto& need : at(group.value, "needs").members) {
      out += line(joined({text_at(need.value, "level_word"), text_at(need.value, "by"),
                          rich_at(need.value, "sentence")}));
      out += line(rich_at(need.value, "also"), "    ");
    }
  }
  const auto& empty = at(today, "empty");
  out += line(text_at(empty, "title"), "") + line(rich_at(empty, "text"), "");
  return out + line(text_at(today, "more"), "");
}

std::string render_person(const json::Value& person) {
  auto out = render_who(at(person, "who")) + render_notices(at(person, "notices"));
  out += title("cli.next");
  const auto& next = at(person, "next");
  const auto& asks = at(person, "asks").members;
  if (next.type == json::Type::object) out += render_card(next);
  for (const auto& ask : asks) out += render_ask(ask.value);
  if (next.type != json::Type::object && asks.empty()) {
    out += line(words::english().text("cli.no_next"));
  }
  for (const auto& later : at(person, "later").members) {
    out += line(joined({text_at(later.value, "time_text"), rich_at(later.value, "text")}));
  }
  out += render_low(at(person, "low"));
  out += render_order(at(person, "order"));
  out += title("cli.pens");
  for (const auto& pen : at(person, "pens").members) out += render_pen(pen.value);
  for (const auto& supply : at(person, "supplies").members) out += line(plain(&supply.value));
  out += title("cli.background");
  for (const auto& row : at(person, "background").members) {
    out += line(joined({text_at(row.value, "label"), text_at(row.value, "value")}, ": "));
  }
  return out;
}

std::string render_journal(const json::Value& journal) {
  auto out = render_who(at(journal, "who")) + title("cli.journal");
  out += line(text_at(journal, "count_text"), "");
  std::string day;
  for (const auto& row : at(journal, "rows").members) {
    if (const auto here = text_at(row.value, "day_text"); here != day) {
      day = here;
      out += day + "\n";
    }
    out += line(joined({text_at(row.value, "when_text"), rich_at(row.value, "sentence"),
                        text_at(row.value, "by_text")}));
    out += line(text_at(row.value, "state_text"), "    ");
    out += line(text_at(row.value, "id"), "    ");
  }
  return out + line(text_at(journal, "chain_text"), "");
}

std::string render_sheet(const json::Value& sheet) {
  auto out = line(text_at(sheet, "title"), "") + render_who(at(sheet, "who"));
  out += line(joined({text_at(sheet, "hour"), text_at(sheet, "purpose"), text_at(sheet, "insulin"),
                      text_at(sheet, "dose_text")}));
  out += line(joined({text_at(sheet, "order_text"), text_at(sheet, "printed_text")}));
  for (const auto& step : at(sheet, "steps").members) {
    out += line(joined(
        {text_at(step.value, "n"), text_at(step.value, "title"), rich_at(step.value, "text")}));
  }
  out += render_table(at(sheet, "window_table"));
  return out + line(rich_at(sheet, "last")) + render_low(at(sheet, "low"));
}

std::string render_clinic(const json::Value& clinic) {
  return joined({text_at(clinic, "clinic"), text_at(clinic, "user"), text_at(clinic, "zone")}) +
         "\n" + line(joined({text_at(clinic, "phone"), text_at(clinic, "emergency")}), "") +
         line(text_at(clinic, "now_text"), "") + line(text_at(clinic, "defer"), "") +
         line(text_at(clinic, "program"), "");
}

std::string render_shelf(const json::Value& shelf) {
  std::string out;
  for (const auto& group : at(shelf, "groups").members) {
    out += "\n" + line(text_at(group.value, "title"), "");
    for (const auto& entry : at(group.value, "entries").members) {
      out += line(joined({text_at(entry.value, "code"), text_at(entry.value, "name")}));
      out += line(rich_at(entry.value, "line"), "    ");
    }
  }
  return out;
}

std::string render_phone(const json::Value& phone) {
  auto out = render_card(at(phone, "card"));
  const auto& back = at(phone, "read_back");
  if (back.type == json::Type::object) {
    out += line(rich_at(back, "say")) + line(rich_at(back, "hear"));
  }
  if (const auto& low = at(phone, "low"); low.type == json::Type::object) out += render_low(low);
  return out;
}

std::string render_diary(const json::Value& preview) {
  auto out = line(rich_at(preview, "summary"), "");
  for (const auto& bad : at(preview, "bad").members) {
    out += wrapped(text_at(bad.value, "what") + " " + text_at(bad.value, "do_this"),
                   text_at(bad.value, "line") + ": ", "      ");
  }
  out += line(text_at(preview, "more_bad"), "");
  for (const auto& row : at(preview, "sample").members) {
    out += line(joined({text_at(row.value, "line") + ":", text_at(row.value, "when_text"),
                        text_at(row.value, "what")}));
  }
  return out + render_notices(at(preview, "notices"));
}

std::string render_supplies(const json::Value& supplies) {
  auto out = render_who(at(supplies, "who"));
  const auto& cover = at(supplies, "cover");
  out += title("cli.cover");
  for (const auto& row : at(cover, "rows").members) {
    out += line(joined({text_at(row.value, "name"), text_at(row.value, "stock_text")}));
    out += line(rich_at(row.value, "text"), "    ");
  }
  out += render_notices(at(cover, "notices"));
  for (const auto& change : at(cover, "change").members) out += line(plain(&change.value));
  out += line(text_at(cover, "defer"));
  out += title("cli.at_home");
  for (const auto& row : at(supplies, "at_home").members) {
    out += line(joined({text_at(row.value, "name"), rich_at(row.value, "text")}, ": "));
  }
  for (const auto& one : at(supplies, "history").members) out += line(plain(&one.value));
  out += line(rich_at(at(supplies, "sharps"), "text"));
  return out;
}

std::string render_month(const json::Value& month) {
  auto out = text_at(month, "title") + "\n" + line(rich_at(month, "lead"));
  for (const auto& person : at(month, "people").members) {
    out += line(joined({text_at(person.value, "by_text"), text_at(person.value, "name"),
                        text_at(person.value, "born_text"), text_at(person.value, "number")}));
    for (const auto& row : at(person.value, "rows").members)
      out += line(plain(&row.value), "      ");
  }
  out += line(text_at(month, "more"));
  out += title("cli.sums");
  for (const auto& sum : at(month, "sums").members) {
    out += line(joined({text_at(sum.value, "boxes"), text_at(sum.value, "name")}));
  }
  return out + line(text_at(month, "note")) + line(text_at(month, "unreadable"));
}

std::string render_stock(const json::Value& stock) {
  auto out = line(rich_at(stock, "lead")) + render_notices(at(stock, "notices"));
  for (const auto& item : at(stock, "items").members) {
    out += "\n" + joined({text_at(item.value, "name"), rich_at(item.value, "total")}, ": ") + "\n";
    for (const auto& lot : at(item.value, "lots").members) {
      out += line(joined({text_at(lot.value, "lot_text"), text_at(lot.value, "expires_text"),
                          text_at(lot.value, "left_text"), text_at(lot.value, "count_text"),
                          text_at(lot.value, "state")}));
    }
  }
  for (const auto& recall : at(stock, "recalls").members)
    out += line(joined({text_at(recall.value, "title"), rich_at(recall.value, "text")}, ": "));
  return out + line(rich_at(stock, "closed")) + line(text_at(stock, "printed_text"));
}

namespace {

std::string render_reached(const json::Value& people) {
  std::string out;
  for (const auto& person : people.members) {
    out += line(joined({text_at(person.value, "name"), text_at(person.value, "born_text"),
                        text_at(person.value, "number"), text_at(person.value, "phone"),
                        text_at(person.value, "state")}));
    for (const auto& row : at(person.value, "rows").members)
      out += line(plain(&row.value), "      ");
  }
  return out;
}

}  // namespace

std::string render_recall(const json::Value& recall) {
  // First what must not be read last.
  auto out = rich_at(recall, "first") + "\n\n" + text_at(recall, "title") + "\n" +
             line(rich_at(recall, "lead"));
  for (const auto& say : at(recall, "say").members) out += line("- " + plain(&say.value));
  out += render_notices(at(recall, "cautions"));
  out += render_reached(at(recall, "people")) + line(text_at(recall, "more"));
  const auto& unknown = at(recall, "unknown");
  out += "\n" + line(rich_at(unknown, "lead")) + render_reached(at(unknown, "people"));
  for (const auto& shelf : at(recall, "shelf").members) out += line(plain(&shelf.value));
  return out + line(text_at(recall, "printed_text"));
}

}  // namespace penstock::cli
