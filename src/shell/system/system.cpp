#include "shell/system/system.hpp"

#include <fcntl.h>
#include <sodium.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <memory>

namespace penstock::shell {
namespace {

Error about(Kind kind, std::string_view code, std::string_view file) {
  return {kind, std::string(code), {arg_text("file", file)}, ""};
}

struct Closes {
  void operator()(std::FILE* file) const { std::fclose(file); }
};

bool write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const auto written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return ::fsync(descriptor) == 0;
}

}  // namespace

Instant now() { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); }

Id new_id() {
  static const bool ready = sodium_init() >= 0;
  INVARIANT(ready);
  Id id;
  // All zeros would mean "none"; it never happens, and is not left to that.
  while (id.is_nil()) {
    randombytes_buf(&id.high, sizeof id.high);
    randombytes_buf(&id.low, sizeof id.low);
  }
  return id;
}

Result<std::string> read_file(const std::string& path, std::size_t bytes_most) {
  std::error_code ignored;
  const bool is_input = path == "-";
  if (!is_input && !std::filesystem::exists(path, ignored)) {
    return about(Kind::not_found, codes::file_missing, path);
  }
  if (!is_input && std::filesystem::is_directory(path, ignored)) {
    return about(Kind::invalid_input, codes::file_unreadable, path);
  }
  std::unique_ptr<std::FILE, Closes> opened(is_input ? nullptr : std::fopen(path.c_str(), "rb"));
  if (!is_input && !opened) return about(Kind::unavailable, codes::file_unreadable, path);
  auto* file = is_input ? stdin : opened.get();
  std::string bytes;
  char block[65'536];
  while (const auto got = std::fread(block, 1, sizeof block, file)) {
    bytes.append(block, got);
    if (bytes.size() > bytes_most) {
      auto error = about(Kind::invalid_input, codes::file_large, path);
      error.args.push_back(arg_count("most", static_cast<std::int64_t>(bytes_most)));
      return error;
    }
  }
  if (std::ferror(file) != 0) return about(Kind::unavailable, codes::file_unreadable, path);
  return bytes;
}

Result<void> write_new_file(const std::filesystem::path& path, std::string_view bytes) {
  const auto aside = path.string() + ".part-" + to_text(new_id()).substr(0, 8);
  const int descriptor = ::open(aside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (descriptor < 0) {
    return about(Kind::unavailable, codes::file_unwritten, path.string());
  }
  const bool whole = write_all(descriptor, bytes);
  const bool closed = ::close(descriptor) == 0;
  // A link, not a move: it refuses a name that is taken, also one that was taken this moment.
  const bool placed = whole && closed && ::link(aside.c_str(), path.c_str()) == 0;
  const bool taken = !placed && errno == EEXIST;
  ::unlink(aside.c_str());
  if (placed) return {};
  return about(taken ? Kind::refused : Kind::unavailable,
               taken ? codes::file_exists : codes::file_unwritten, path.string());
}

}  // namespace penstock::shell
