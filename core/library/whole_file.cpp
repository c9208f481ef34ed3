#include "core/library/whole_file.h"

#include <cerrno>
#include <fstream>
#include <system_error>

namespace beatwitness::library {
namespace {

Fault notWritable(const std::filesystem::path& path, const std::error_code& why) {
    return {
        FaultCode::NotWritable,
        "the file could not be written (" + (why ? why.message() : std::string{"the disk may be full"}) + ")",
        path.string(),
        {},
        {}};
}

}  // namespace

Result<Done> writeWholeFile(const std::filesystem::path& path, std::string_view bytes) {
    namespace fs = std::filesystem;
    std::error_code error;
    if (path.has_parent_path()) fs::create_directories(path.parent_path(), error);
    if (error) return notWritable(path, error);
    fs::path part = path;
    part += ".part";
    errno = 0;
    std::ofstream out{part, std::ios::binary | std::ios::trunc};
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.close();
    if (!out) {
        error = std::error_code{errno, std::generic_category()};
    } else {
        fs::rename(part, path, error);
        if (!error) return Done{};
    }
    std::error_code ignored;
    fs::remove(part, ignored);
    return notWritable(path, error);
}

}  // namespace beatwitness::library
