#include "core/recording/file_bytes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <memory>
#include <system_error>

#include "core/recording/large_pages.h"

namespace beatwitness::recording {
namespace {

constexpr std::uintmax_t longest = std::uintmax_t{2} << 30;
constexpr std::size_t partBytes = std::size_t{256} << 10;

struct FileCloser {
    void operator()(std::FILE* file) const { std::fclose(file); }
};

Fault fault(FaultCode code, std::string message, const std::filesystem::path& path) {
    return {code, std::move(message), path.string(), {}, {}};
}

}  // namespace

Result<std::vector<std::byte>> fileBytes(const std::filesystem::path& path, const RunControl& run) {
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (status.type() == std::filesystem::file_type::not_found)
        return fault(FaultCode::NotFound, "there is no such file; a recording was expected", path);
    if (status.type() == std::filesystem::file_type::directory)
        return fault(FaultCode::NotAFile, "this is a folder; the file of a recording was expected", path);
    if (!error && status.type() != std::filesystem::file_type::regular)
        return fault(FaultCode::NotAFile,
                     "this is a device, not a file; the file of a recording was expected", path);
    const auto refused = [&](int number) {
        return fault(FaultCode::NotReadable,
                     fmt::format("the file could not be read ({})", std::generic_category().message(number)),
                     path);
    };
    if (error) return refused(error.value());

    errno = 0;
    const std::unique_ptr<std::FILE, FileCloser> file{std::fopen(path.c_str(), "rb")};
    if (!file) return refused(errno);
    const auto size = std::filesystem::file_size(path, error);
    if (error) return refused(error.value());
    if (size == 0) return fault(FaultCode::Empty, "the file is empty; a recording was expected", path);
    if (size > longest)
        return fault(FaultCode::TooLong,
                     fmt::format("the file has {} bytes; at most {} can be read", size, longest), path);

    // Through a part that stays in the cache: filling the whole with zeros first would cost as much again.
    std::vector<std::byte> bytes, part(std::min<std::size_t>(size, partBytes));
    bytes.reserve(size);
    backByLargePages(bytes);
    while (bytes.size() < size) {
        if (run.stopRequested()) return cancelled();
        const std::size_t got =
            std::fread(part.data(), 1, std::min<std::size_t>(size - bytes.size(), part.size()), file.get());
        if (got == 0) {
            if (std::ferror(file.get())) return refused(errno);
            break;  // it shrank while we read: what stands is what we have
        }
        bytes.insert(bytes.end(), part.begin(), part.begin() + static_cast<std::ptrdiff_t>(got));
    }
    if (bytes.empty()) return fault(FaultCode::Empty, "the file is empty; a recording was expected", path);
    return bytes;
}

}  // namespace beatwitness::recording
