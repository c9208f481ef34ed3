#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/foundation/run_control.h"
#include "core/recording/fit_messages.h"

namespace beatwitness::recording {

/// One data message, while its bytes are at hand.
struct FitMessageView {
    const FitPlan& plan;
    const std::byte* content;           ///< plan.size bytes
    std::optional<std::uint32_t> time;  ///< as stored: its own timestamp, else that of a compressed header
    std::size_t bytesLeft = 0;          ///< of the file, this message included: bounds what can still come

    [[nodiscard]] std::optional<double> number(std::size_t slot, std::size_t index = 0) const {
        return plan[slot].number(content, index);
    }
    bool read(std::size_t slot, double& value) const {
        return plan[slot].present() && plan[slot].read(content, 0, value);
    }
};

/// Who takes the messages.
class FitSink {
public:
    virtual ~FitSink() = default;
    /// A chained file begins: definitions and clocks start anew.
    virtual void beginPart() = 0;
    virtual void take(const FitMessageView& message) = 0;
};

/// Why decoding stopped, and at which byte of the file.
struct FitStop {
    enum class Reason { EndOfData, Undefined, CutShort, Cancelled };
    Reason reason = Reason::EndOfData;
    std::size_t byte = 0;    ///< of the message that could not be read; the end of the data where all could
    unsigned localType = 0;  ///< of a data message without a definition
};

/// The messages of one part of a FIT file.
///
///     record header, one byte
///     1ttooooo   compressed: local type tt (0-3), time offset ooooo; a data message
///     01d0llll   definition of local type llll; d: it lists developer fields too
///     00r0llll   data of local type llll
///
///     definition                            data
///     1  reserved                           the fields in the order of the definition,
///     1  byte order: 0 little, 1 big        then the developer fields, without gaps
///     2  global message number
///     1  n, number of fields
///     3n number, size in bytes, base type
///     1  m, number of developer fields  }  where d
///     3m number, size, developer index  }
///
/// A compressed header's offset replaces the low five bits of the last time that the part gave; where it is
/// lower than those bits they have rolled over, so 32 s are added. A definition takes the place of an earlier
/// one of the same local type.
class FitDecoder {
public:
    FitDecoder(std::span<const std::byte> file, FitSink& sink, const RunControl& run)
        : file_(file), sink_(sink), run_(run) {}

    /// Decodes from byte `begin` to byte `end`. May be called again to go on behind it. Linear time.
    /// Requires: begin <= end <= size of the file.
    [[nodiscard]] FitStop decode(std::size_t begin, std::size_t end);

    [[nodiscard]] std::size_t dataMessages() const { return dataMessages_; }

private:
    struct Local {
        FitPlan plan;
        bool defined = false;
    };

    /// Bytes of the definition at `at`, its header byte included; 0 where it reaches beyond `end`.
    std::size_t define(std::size_t at, std::size_t end);
    void data(const FitPlan& plan, std::size_t at, std::optional<unsigned> offset);
    bool pauseToReport(std::size_t at);

    std::span<const std::byte> file_;
    FitSink& sink_;
    const RunControl& run_;
    std::array<Local, 16> locals_{};
    std::optional<std::uint32_t> lastTime_;
    std::size_t dataMessages_ = 0;
    std::size_t untilReport_ = 0;
};

}  // namespace beatwitness::recording
