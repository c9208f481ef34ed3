#include "core/recording/archive.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/recording/archive_gzip.h"
#include "core/recording/archive_stream.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/read_recording.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t mostUnpacked = std::size_t{1} << 30;
/// Text of recordings packs 5 to 30 times; 200 leaves room, and a bomb packs 1000 times.
constexpr std::size_t mostTimesPacked = 200;
constexpr std::size_t freeUnpacked = std::size_t{64} << 20;
constexpr std::size_t mostFiles = 1000;
constexpr int deepestNesting = 2;
constexpr std::size_t mostNamesTold = 5;

constexpr std::array<unsigned char, 3> gzipMagic{0x1F, 0x8B, 0x08};
constexpr std::array<unsigned char, 4> zipMagic{'P', 'K', 3, 4};
constexpr std::array<unsigned char, 4> emptyZipMagic{'P', 'K', 5, 6};

bool beginsWith(std::span<const std::byte> bytes, std::span<const unsigned char> magic) {
    return bytes.size() >= magic.size() &&
           std::equal(magic.begin(), magic.end(), bytes.begin(),
                      [](unsigned char wanted, std::byte found) { return std::byte{wanted} == found; });
}

bool holdsHeartRate(const Recording& recording) {
    const Channel* rates = recording.channel(ChannelKind::HeartRate);
    return rates != nullptr && std::ranges::any_of(rates->values, isValidHeartRate);
}

/// What operating systems add of their own: their files are no recordings that a person packed.
bool isBookkeeping(const std::string& name) {
    const std::string file = name.substr(name.find_last_of('/') + 1);
    return name.starts_with("__MACOSX/") || file.starts_with('.');
}

class ArchiveReader {
public:
    ArchiveReader(const ReadOptions& options, const RunControl& run, int depth)
        : options_(options), run_(run), depth_(depth) {}

    Result<Recording> read(std::span<const std::byte> bytes) {
        const std::size_t most = std::min(mostUnpacked, bytes.size() * mostTimesPacked + freeUnpacked);
        auto fault = beginsWith(bytes, gzipMagic) ? readGzip(bytes, most) : readZip(bytes, most);
        if (fault) return *fault;
        return chosen_ ? Result<Recording>{finished()} : Result<Recording>{nothingRead()};
    }

private:
    std::optional<Fault> readGzip(std::span<const std::byte> bytes, std::size_t most) {
        const auto file = gunzip(bytes, most, run_);
        return file ? consider(*file) : std::optional{file.fault()};
    }

    std::optional<Fault> readZip(std::span<const std::byte> bytes, std::size_t most) {
        ArchiveStream stream{bytes, most};
        for (;;) {
            auto file = stream.next(run_);
            if (!file && (file.fault().code != FaultCode::Damaged || !chosen_)) return worse(file.fault());
            if (!file) damage_ = file.fault().message;
            if (!file || !*file) return std::nullopt;
            if (++files_ > mostFiles) {
                isCutShort_ = true;
                return std::nullopt;
            }
            if (auto fault = consider(**file)) return fault;
        }
    }

    [[nodiscard]] Result<Recording> readFile(const ArchiveFile& file) const {
        if (file.bytes.empty()) return unpackedNothing(file);
        if (!looksLikeArchive(file.bytes)) return readRecording(file.bytes, options_, run_);
        if (depth_ < deepestNesting) return ArchiveReader{options_, run_, depth_ + 1}.read(file.bytes);
        return Fault{FaultCode::UnknownFormat,
                     "an archive lies in an archive in an archive; a recording in at most two was expected",
                     {},
                     {},
                     {}};
    }

    [[nodiscard]] static Fault unpackedNothing(const ArchiveFile& file) {
        if (file.damage.empty())
            return {FaultCode::Empty, "the archive holds no byte; a recording was expected", {}, {}, {}};
        return {FaultCode::Damaged, file.damage + "; nothing of it could be unpacked", {}, {}, {}};
    }

    /// A fault only where the user stopped it.
    std::optional<Fault> consider(const ArchiveFile& file) {
        if (isBookkeeping(file.name)) return std::nullopt;
        auto recording = readFile(file);
        if (!recording) {
            if (recording.fault().code == FaultCode::Cancelled) return recording.fault();
            ++unreadable_;
            if (!firstFault_) firstFault_ = recording.fault();
            if (firstFaultName_.empty()) firstFaultName_ = file.name;
            return std::nullopt;
        }
        if (!file.damage.empty())
            recording->warnings.push_back(fmt::format(
                "{} after {} unpacked bytes; what stands before was read", file.damage, file.bytes.size()));
        choose(file.name, *std::move(recording));
        return std::nullopt;
    }

    void choose(const std::string& name, Recording recording) {
        const bool hasRate = holdsHeartRate(recording);
        if (!chosen_ || (hasRate && !chosenHasRate_)) {
            if (chosen_) others_.push_back(chosenName_);
            chosen_ = std::move(recording);
            chosenName_ = name;
            chosenHasRate_ = hasRate;
        } else {
            others_.push_back(name);
        }
    }

    [[nodiscard]] Recording finished() {
        Recording recording = *std::move(chosen_);
        if (!chosenName_.empty()) recording.guessed.emplace_back("file in the archive", chosenName_);
        if (!others_.empty()) {
            std::string names;
            for (std::size_t i = 0; i < std::min(others_.size(), mostNamesTold); ++i)
                names += fmt::format("{}\"{}\"", i == 0 ? "" : ", ", others_[i]);
            if (others_.size() > mostNamesTold) names += ", …";
            recording.warnings.push_back(
                fmt::format("the archive holds {} recordings; \"{}\" was read, not {}", others_.size() + 1,
                            chosenName_, names));
        }
        if (isCutShort_)
            recording.warnings.push_back(
                fmt::format("the archive holds more than {} files; only these were looked at", mostFiles));
        if (!damage_.empty()) recording.warnings.push_back(damage_ + "; what stands before was read");
        return recording;
    }

    /// Damage behind a file that could not be read either: the first reason says more.
    [[nodiscard]] Fault worse(const Fault& fault) const {
        return fault.code == FaultCode::Damaged && firstFault_ ? nothingRead() : fault;
    }

    [[nodiscard]] Fault nothingRead() const {
        if (!firstFault_)
            return {FaultCode::UnknownFormat,
                    "the archive holds no file that could be a recording; one was expected",
                    {},
                    {},
                    {}};
        if (firstFaultName_.empty()) return {firstFault_->code, firstFault_->message, {}, {}, {}};
        if (unreadable_ == 1)
            return {firstFault_->code,
                    fmt::format("\"{}\" in the archive: {}", firstFaultName_, firstFault_->message),
                    {},
                    {},
                    {}};
        return {FaultCode::UnknownFormat,
                fmt::format("none of the {} files in the archive is a recording; the first, \"{}\": {}",
                            unreadable_, firstFaultName_, firstFault_->message),
                {},
                {},
                {}};
    }

    const ReadOptions& options_;
    const RunControl& run_;
    int depth_;
    std::size_t files_ = 0, unreadable_ = 0;
    std::optional<Recording> chosen_;
    std::string chosenName_;
    bool chosenHasRate_ = false;
    std::vector<std::string> others_;
    std::optional<Fault> firstFault_;
    std::string firstFaultName_;
    std::string damage_;
    bool isCutShort_ = false;
};

}  // namespace

bool looksLikeArchive(std::span<const std::byte> bytes) {
    return beginsWith(bytes, gzipMagic) || beginsWith(bytes, zipMagic) || beginsWith(bytes, emptyZipMagic);
}

Result<Recording> readArchive(std::span<const std::byte> bytes, const ReadOptions& options,
                              const RunControl& run) {
    return ArchiveReader{options, run, 1}.read(bytes);
}

}  // namespace beatwitness::recording
