// The ground floor: what every room stands on. Results and errors as values, broken promises,
// identities, digests.
#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <source_location>
#include <span>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

namespace penstock {

/// What the caller does next. The web maps it to a status in one table.
enum class Kind : std::uint8_t {
  invalid_input,  ///< the request is not well formed: mend it
  not_found,      ///< there is no such person, pen, fact
  conflict,       ///< somebody else wrote in between: look again, then decide
  refused,        ///< well formed, but it must not be done
  retry_whole,    ///< run the whole use case again
  unavailable,    ///< disk full, file locked: nothing was written
};

/// What kind of value an argument of an error is; `words` formats it, so no sentence ever holds a
/// number.
enum class ArgType : std::uint8_t {
  text,      ///< a name, as typed
  code,      ///< one of our codes: `words` looks up its name
  count,     ///< a plain whole number
  units,     ///< insulin units, in hundredths
  strength,  ///< units/mL
  date,      ///< days since 1970-01-01
  instant,   ///< minutes since 1970-01-01T00:00 local
  celsius,   ///< tenths of a degree Celsius
  tenths,    ///< a number with one decimal
};

/// One typed value in an error's or caution's sentence. What makes and ends it is compiled once, in
/// base.cpp: inlined into every page it was a sixth of each page's compile time (so, too, for Error
/// and json::Value).
struct Arg {
  std::string name;
  ArgType type = ArgType::text;
  std::int64_t number = 0;
  std::string text;

  Arg();
  Arg(std::string_view its_name, ArgType its_type, std::int64_t its_number,
      std::string_view its_text);
  Arg(const Arg& other);
  Arg(Arg&& other) noexcept;
  Arg& operator=(const Arg& other);
  Arg& operator=(Arg&& other) noexcept;
  ~Arg();
  friend bool operator==(const Arg& a, const Arg& b);
};

Arg arg_text(std::string_view name, std::string_view text);
Arg arg_code(std::string_view name, std::string_view code);
Arg arg_count(std::string_view name, std::int64_t count);

/// An error that a person can cause: a value, never thrown. `code` is stable and never reused;
/// tests and the API use it. What was wrong and what to do are written by `words` from the code and
/// the arguments; `at` says where (a JSON pointer, or a line number of a file).
struct Error {
  Kind kind = Kind::invalid_input;
  std::string code;
  std::vector<Arg> args;
  std::string at;

  Error();
  Error(Kind its_kind, std::string_view its_code, std::vector<Arg> its_args = {},
        std::string_view where = {});
  Error(const Error& other);
  Error(Error&& other) noexcept;
  Error& operator=(const Error& other);
  Error& operator=(Error&& other) noexcept;
  ~Error();
  friend bool operator==(const Error& a, const Error& b);
};

/// The same error, found at another place.
Error located(Error error, std::string_view at);

/// Either a value or an Error. tl::expected today, std::expected once the compiler has it;
/// [[nodiscard]] is ours.
template <class T>
class [[nodiscard]] Result : public tl::expected<T, Error> {
 public:
  using tl::expected<T, Error>::expected;
  Result(Error error) : tl::expected<T, Error>(tl::unexpect, std::move(error)) {}
};

using Unexpected = tl::unexpected<Error>;

/// Ends in a [[noreturn]] handler: natively it throws BrokenPromise, which only `desk` catches; in
/// the browser it traps.
[[noreturn]] void promise_broken(std::string_view what,
                                 std::source_location where = std::source_location::current());

#if defined(__cpp_exceptions)
/// A bug of ours, never something that a person can cause.
struct BrokenPromise {
  std::string what;
  std::string where;
};
#endif

/// Always on, also in release. User input never reaches it.
#define INVARIANT(condition)                  \
  do {                                        \
    if (!(condition)) [[unlikely]]            \
      ::penstock::promise_broken(#condition); \
  } while (false)

/// 128 bits that name a fact, a person, a pen, a cartridge. The sender makes them, so that a retry
/// is one fact.
struct Id {
  std::uint64_t high = 0;
  std::uint64_t low = 0;

  friend constexpr auto operator<=>(const Id&, const Id&) = default;
  constexpr bool is_nil() const { return high == 0 && low == 0; }
};

/// 32 hexadecimal digits, lower case.
std::string to_text(const Id& id);
/// Reads 32 hexadecimal digits, with or without the four dashes of a UUID. Nil and anything else:
/// nothing.
std::optional<Id> parse_id(std::string_view text);

struct IdHash {
  // The bits come from a random source or a digest, so mixing the two halves is enough.
  std::size_t operator()(const Id& id) const noexcept {
    return static_cast<std::size_t>(id.high ^ (id.low * 0x9E3779B97F4A7C15ULL));
  }
};

using Digest = std::array<std::uint8_t, 32>;
/// SHA-256, handed in by the shell: the core holds no cryptography of its own.
using DigestFunction = Digest (*)(std::span<const std::uint8_t>);
/// An identity made from what it stands for, so that the same told again is one: the first 128 bits
/// of the digest, of which two of a million share theirs with a chance of 10^-27. Never nil.
Id id_from(std::string_view text, DigestFunction digest);

/// 64 hexadecimal digits, lower case.
std::string to_text(const Digest& digest);

}  // namespace penstock
