#include "core/recording/archive_gzip.h"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <limits>

namespace beatwitness::recording {
namespace {

constexpr std::size_t step = std::size_t{256} << 10;
/// Window of 32 KiB, and a gzip header is expected.
constexpr int gzipWindow = 15 + 16;
/// The same window, without header and checksum.
constexpr int bareWindow = -15;

/// A zlib stream that is ended whatever happens.
class Inflation {
public:
    explicit Inflation(int window) { isReady_ = inflateInit2(&stream_, window) == Z_OK; }
    ~Inflation() {
        if (isReady_) inflateEnd(&stream_);
    }
    Inflation(const Inflation&) = delete;
    Inflation& operator=(const Inflation&) = delete;

    [[nodiscard]] bool isReady() const { return isReady_; }
    z_stream& stream() { return stream_; }

private:
    z_stream stream_{};
    bool isReady_ = false;
};

class Gunzip {
public:
    Gunzip(std::span<const std::byte> bytes, std::size_t most, int window)
        : bytes_(bytes), most_(most), window_(window), inflation_(window) {}

    Result<ArchiveFile> unpack(const RunControl& run) {
        if (!inflation_.isReady()) return ended("there is no memory to unpack it");
        file_.bytes.reserve(toldSize() + step);
        for (;;) {
            if (run.stopRequested()) return cancelled();
            const int status = oneStep();
            if (file_.bytes.size() > most_) return tooLong(most_);
            if (status == Z_STREAM_END) {
                if (!hasNextMember()) return ended({});
                inflateReset(&inflation_.stream());
            } else if (status == Z_BUF_ERROR) {
                return ended("it ends early");
            } else if (status != Z_OK) {
                const char* said = inflation_.stream().msg;
                return ended(said != nullptr ? said : "it cannot be unpacked");
            }
        }
    }

private:
    /// What the last four bytes say that it unpacks to, as far as that can be: growing by doubling would for
    /// a moment hold half as much again. Memory that is not written to costs nothing.
    [[nodiscard]] std::size_t toldSize() const {
        constexpr std::size_t smallest = 18, mostPerByte = 1032;
        if (window_ == bareWindow || bytes_.size() < smallest) return 0;
        std::size_t told = 0;
        for (std::size_t i = 1; i <= 4; ++i)
            told = told << 8 | std::to_integer<std::size_t>(bytes_[bytes_.size() - i]);
        return std::min({told, most_, bytes_.size() * mostPerByte});
    }

    int oneStep() {
        z_stream& stream = inflation_.stream();
        const std::size_t filled = file_.bytes.size();
        if (file_.bytes.capacity() < filled + step) file_.bytes.reserve(std::max(filled * 2, filled + step));
        file_.bytes.resize(filled + step);
        const std::size_t given =
            std::min<std::size_t>(bytes_.size() - taken_, std::numeric_limits<uInt>::max());
        // zlib does not write to its input; its interface is older than const.
        stream.next_in = const_cast<Bytef*>(reinterpret_cast<const Bytef*>(bytes_.data() + taken_));
        stream.avail_in = static_cast<uInt>(given);
        stream.next_out = reinterpret_cast<Bytef*>(file_.bytes.data() + filled);
        stream.avail_out = static_cast<uInt>(step);
        const int status = inflate(&stream, Z_NO_FLUSH);
        taken_ += given - stream.avail_in;
        file_.bytes.resize(filled + step - stream.avail_out);
        return status;
    }

    /// Zeros behind the last member are padding.
    [[nodiscard]] bool hasNextMember() const {
        if (window_ == bareWindow) return false;
        const auto rest = bytes_.subspan(taken_);
        return std::ranges::any_of(rest, [](std::byte b) { return b != std::byte{0}; });
    }

    Result<ArchiveFile> ended(std::string_view why) {
        if (!why.empty())
            file_.damage = fmt::format("the gzip archive is damaged at byte {} ({})", taken_, why);
        return std::move(file_);
    }

    std::span<const std::byte> bytes_;
    std::size_t most_;
    int window_;
    std::size_t taken_ = 0;
    Inflation inflation_;
    ArchiveFile file_;
};

}  // namespace

Result<ArchiveFile> gunzip(std::span<const std::byte> bytes, std::size_t most, const RunControl& run) {
    return Gunzip{bytes, most, gzipWindow}.unpack(run);
}

Result<ArchiveFile> inflateBare(std::span<const std::byte> bytes, std::size_t most, const RunControl& run) {
    return Gunzip{bytes, most, bareWindow}.unpack(run);
}

}  // namespace beatwitness::recording
