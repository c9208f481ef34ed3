#pragma once

#include <QWidget>
#include <optional>

#include "app/windows/import_model.h"

class QComboBox;
class QLabel;
class QLineEdit;

namespace beatwitness::app {

/// What the tree of an import has no column for: how a device was worn, the part of its file that counts, the
/// note of a session. Of the row at hand; every field corrects the model.
class ImportDetails : public QWidget {
    Q_OBJECT

public:
    explicit ImportDetails(ImportModel& model, QWidget* parent = nullptr);

    void setRow(const QModelIndex& index);

private:
    void refresh();
    void correctFact(std::string library::WearingFacts::*fact, const QString& text);
    void correctSpan();
    void correctNote();
    [[nodiscard]] const library::ProposedWearing* wearing() const;

    ImportModel& model_;
    std::optional<BoardPlace> place_;
    QWidget *wearingForm_, *sessionForm_;
    QComboBox *side_, *tightness_, *mode_;
    QLineEdit *from_, *to_, *note_;
    QLabel *because_, *spanHint_;
    bool filling_ = false;
};

/// An instant as the fields show and take it: "2031-03-03 06:42:00" in UTC, "1:02:03" where there is no date.
[[nodiscard]] QString instantWords(RecordingTime time, recording::ClockBasis clock);
[[nodiscard]] std::optional<RecordingTime> parseInstant(const QString& text, recording::ClockBasis clock);

}  // namespace beatwitness::app
