#include "shell/disk/internal/underneath.hpp"

#include <sys/stat.h>

namespace penstock::store {

Underneath::File Underneath::state_of(const std::filesystem::path& path) {
  struct stat is{};
  if (::stat(path.c_str(), &is) != 0) return {};
  return {is.st_ino, is.st_size, is.st_ctim.tv_sec, is.st_ctim.tv_nsec};
}

Underneath::Seen Underneath::now() const {
  return {state_of(path_), state_of(path_.string() + "-wal")};
}

bool Underneath::look(Connection* writer) {
  bool is_changed = false;
  if (writer != nullptr) {
    // It stands still while this connection itself writes.
    const auto version = writer->number("PRAGMA data_version");
    if (version) {
      is_changed = written_by_others_ && *written_by_others_ != *version;
      written_by_others_ = *version;
    }
  }
  const auto is = now();
  is_changed = is_changed || (seen_ && *seen_ != is);
  seen_ = is;
  if (is_changed) ++count_;
  return is_changed;
}

void Underneath::wrote() { seen_ = now(); }

}  // namespace penstock::store
