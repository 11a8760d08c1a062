#include "shell/store/internal/files.hpp"

#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <utility>

namespace penstock::store {
namespace {

int move_file(const char* from, const char* to, bool replace) {
  if (replace) return ::rename(from, to);
  // A hard link fails when the name is taken, on every file system that has links: no window
  // between looking and moving.
  if (::link(from, to) != 0) return -1;
  return ::unlink(from);
}

Error system_error(int number, const std::filesystem::path& path) {
  std::string_view code = codes::io_error;
  if (number == ENOSPC || number == EDQUOT) code = codes::disk_full;
  if (number == EROFS) code = codes::read_only;
  if (number == EACCES || number == EPERM || number == ENOENT || number == ENOTDIR ||
      number == EISDIR) {
    code = codes::cannot_open;
  }
  return {Kind::unavailable,
          std::string(code),
          {arg_text("file", path.string()), arg_count("detail", number)},
          {}};
}

/// A descriptor that is closed with its scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  bool valid() const { return number_ >= 0; }
  int number() const { return number_; }

 private:
  int number_;
};

Result<void> sync(const std::filesystem::path& path, int flags) {
  const Descriptor file(::open(path.c_str(), flags | O_CLOEXEC));
  if (!file.valid() || file_calls().sync(file.number()) != 0) return system_error(errno, path);
  return {};
}

}  // namespace

FileCalls& file_calls() {
  static FileCalls calls{.sync = ::fsync, .move = move_file};
  return calls;
}

Result<void> create_private(const std::filesystem::path& path) {
  {
    const Descriptor file(::open(path.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600));
    if (!file.valid() && errno == EEXIST) return {};
    if (!file.valid()) return system_error(errno, path);
  }
  return sync_folder_of(path);
}

Result<std::filesystem::path> create_beside(const std::filesystem::path& path) {
  std::string name = path.string() + ".part-XXXXXX";
  const Descriptor file(::mkostemp(name.data(), O_CLOEXEC));
  if (!file.valid()) return system_error(errno, path);
  return std::filesystem::path(name);
}

Result<void> sync_file(const std::filesystem::path& path) { return sync(path, O_RDONLY); }

Result<void> sync_folder_of(const std::filesystem::path& path) {
  const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  return sync(folder, O_RDONLY | O_DIRECTORY);
}

Result<void> move_into_place(const std::filesystem::path& from, const std::filesystem::path& to,
                             IfThere if_there) {
  if (file_calls().move(from.c_str(), to.c_str(), if_there == IfThere::replace) != 0) {
    if (errno == EEXIST) {
      return Error{
          Kind::refused, std::string(codes::would_overwrite), {arg_text("file", to.string())}, {}};
    }
    return system_error(errno, to);
  }
  auto synced = sync_folder_of(to);
  // A new file that may not outlast a power cut was not made; a replaced one cannot be called back.
  if (!synced && if_there == IfThere::refuse) {
    std::error_code ignored;
    std::filesystem::remove(to, ignored);
  }
  return synced;
}

void remove_companions(const std::filesystem::path& path) {
  for (const char* ending : {"-wal", "-shm", "-journal"}) {
    std::error_code ignored;
    std::filesystem::remove(path.string() + ending, ignored);
  }
}

TemporaryFile::~TemporaryFile() {
  std::error_code ignored;
  if (!moved_) std::filesystem::remove(path_, ignored);
  remove_companions(path_);
}

}  // namespace penstock::store
