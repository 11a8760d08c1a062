// What is odd by itself is asked about, once; the answer yes is enough (H25).
#include <string>
#include <utility>
#include <vector>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

using fields::as;
using fields::Range;
using fields::Type;
using Found = std::optional<Error>;

Found ask(const std::string& at, const Asked& asked) {
  const auto& usual = asked.usual;
  if (asked.value >= usual.least && asked.value <= usual.most) return std::nullopt;
  const auto number = [&](std::string_view name, std::int64_t n) {
    return Arg{std::string(name), asked.type, n, {}};
  };
  return Error{
      penstock::Kind::refused,
      std::string(codes::odd),
      {arg_code("field", asked.field), number("value", asked.value), number("least", usual.least),
       number("most", usual.most), arg_code("why", usual.why)},
      at};
}

/// Walks the lists; `on` is the day on which it happened.
class Asking {
 public:
  Asking(std::string path, LocalDay on) : path_(std::move(path)), on_(on) {}

  Found payload(const Payload& what) {
    const auto& kind = kind_of(what);
    if (auto found = walk(kind, body(what))) return found;
    if (kind.odd == nullptr) return std::nullopt;
    const auto asked = kind.odd(body(what), on_);
    return asked ? ask(path_ + "/" + std::string(asked->field), *asked) : std::nullopt;
  }

 private:
  Found walk(const Group& list, const void* owner) {
    for (const auto& field : list.fields) {
      if (auto found = held(field, owner)) return found;
    }
    return std::nullopt;
  }
  Found held(const Field& field, const void* owner) {
    if (field.type != Type::group && field.type != Type::fact && field.soft.why.empty())
      return std::nullopt;
    if (field.unasked != nullptr && field.unasked(owner)) return std::nullopt;
    const auto length = path_.size();
    path_.append("/").append(field.name);
    Found found;
    const auto* value = field.in(owner);
    if (field.holder == nullptr) {
      found = one(field, value);
    } else {
      const auto size = field.holder->size(value);
      for (std::size_t n = 0; n < size && !found; ++n) {
        const auto outer = path_.size();
        if (field.holder->many) path_.append("/").append(std::to_string(n));
        found = one(field, field.holder->at(value, n));
        path_.resize(outer);
      }
    }
    path_.resize(length);
    return found;
  }
  Found one(const Field& field, const void* value) {
    if (field.type == Type::group) return walk(*field.group, value);
    if (field.type == Type::fact) {
      const auto& replacement = as<std::shared_ptr<const Replacement>>(value);
      if (!replacement) return std::nullopt;
      return Asking(path_, replacement->happened.day()).payload(replacement->payload);
    }
    if (field.type == Type::day) return age(as<LocalDay>(value), field.soft);
    return ask(path_,
               {field.name, number_in(field.type, value), arg_type_of(field.type), field.soft});
  }

  // A day is a birth date; what is usual is how old that makes somebody.
  Found age(LocalDay born, const Range& usual) const {
    const auto years = age_years(born, on_);
    if (years >= usual.least && years <= usual.most) return std::nullopt;
    const auto asked = [&](std::string_view code, std::vector<Arg> args) {
      args.insert(args.begin(), arg_date("born", born));
      return Error{penstock::Kind::refused, std::string(code), std::move(args), path_};
    };
    if (born > on_) return asked(codes::born_ahead, {arg_date("on", on_)});
    return asked(codes::odd_age, {arg_count("years", years), arg_count("most", usual.most)});
  }

  std::string path_;
  LocalDay on_;
};

}  // namespace

std::optional<Error> oddity(const Fact& fact) {
  const auto late = std::chrono::floor<std::chrono::days>(fact.recorded - fact.happened.at);
  // A day early is within `checked`'s grace.
  if (late.count() > 0) {
    const Range usual{0, usual_days_late_most, "usual.late"};
    if (auto found = ask("/happened", {"happened", late.count(), ArgType::count, usual}))
      return found;
  }
  return Asking("", fact.happened.day()).payload(fact.payload);
}

}  // namespace penstock::facts
