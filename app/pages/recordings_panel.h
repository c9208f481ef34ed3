#pragma once

#include "app/document/session_plan.h"
#include "widgets/inputs/section.h"

namespace beatwitness::app {

class Document;

/// "Recordings": what each file holds, how it was read, and what its reader warned of.
class RecordingsPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit RecordingsPanel(Document& document, QWidget* parent = nullptr);

signals:
    /// The layout of this file is to be overruled.
    void layoutAsked(const beatwitness::app::SharedFile& file);

private:
    void refresh();
    void add(const QString& role, const SharedFile& file);

    Document& document_;
    QWidget* list_ = nullptr;
};

}  // namespace beatwitness::app
