// S12: what a patient's file or a request says never commands the terminal.
#pragma once

#include <ostream>
#include <streambuf>
#include <string>
#include <string_view>

namespace penstock::cli {

/// Hands on what is written with every control character shown as U+FFFD, but for line ends and
/// tabs: ESC and the others below a blank, DEL, and U+0080 to U+009F, which some terminals obey,
/// too. The same for what is no UTF-8, and for the marks that turn a line round (H19).
class Shown : public std::streambuf {
 public:
  explicit Shown(std::ostream& to) : to_(to) {}
  ~Shown() override { put_back(); }
  Shown(const Shown&) = delete;
  Shown& operator=(const Shown&) = delete;

  /// Words of ours that command the terminal, or a file's bytes, as they are.
  void raw(std::string_view bytes);

 protected:
  int_type overflow(int_type c) override;
  std::streamsize xsputn(const char* bytes, std::streamsize count) override;
  int sync() override;

 private:
  void take(char c);
  void hand_on();
  void put_back();

  std::ostream& to_;
  std::string begun_;  // a character of several bytes that is not whole yet
};

/// A stream of such.
class ShownStream : public std::ostream {
 public:
  explicit ShownStream(std::ostream& to) : std::ostream(nullptr), shown_(to) { rdbuf(&shown_); }
  void raw(std::string_view bytes) { shown_.raw(bytes); }

 private:
  Shown shown_;
};

}  // namespace penstock::cli
